/** How a block stands, in a grower's words, and what is noted of it with one tap. */
import type { BlockView } from "../records/farm_view";
import { type Change, newId } from "../store";
import { awayWords, localDay } from "./dates";
import { now, openFlush, standingOf } from "./here";
import { keep, once } from "./saving";
import { CONTAMINATIONS, STATES, WHATS } from "./words";

export const CARRY_OUT = "Carry it out closed and wear a fitted mask.";
export const EAT_NOTHING = "Eat nothing that grew on it.";

/** "Pinning for flush 2", "Resting after flush 1", "Waiting for first pins" */
export function standingWords(view: BlockView): string {
  const { state, flush } = standingOf(view);
  if (state === "pinning") return `Pinning for flush ${flush}`;
  if (state === "fruiting") return `Fruiting, flush ${flush}`;
  if (view.picks.length > 0) return `${STATES[state]} after flush ${openFlush(view)}`;
  return state === "resting" ? "Waiting for first pins" : STATES[state];
}

/** "Green mould seen today"; "" where none was noted, or somebody has dealt with it. */
export function mouldWords(view: BlockView): string {
  const { contaminated: at } = standingOf(view);
  const seen = view.happenings.findLast(
    ({ fields }) => fields.what === "contamination" && Date.parse(fields.at) === at,
  );
  if (at === null || !seen) return "";
  const { contamination: kind } = seen.fields;
  const name = kind === "" || kind === "other" ? WHATS.contamination : CONTAMINATIONS[kind];
  return `${name} seen ${sinceWords(at)}`;
}

/** "today", "3 days ago" */
export function sinceWords(at: number): string {
  const today = localDay(new Date(now.value));
  return localDay(new Date(at)) === today ? "today" : awayWords(Math.min(at, now.value), now.value);
}

export const NOTHING_TOLD = {
  until: null,
  mass_before_g: null,
  mass_after_g: null,
  place: null,
  contamination: "",
  note: "",
} as const;

/** What its name says all of, noted as of now. */
export async function noteNow(
  view: BlockView,
  what: "discarded" | "pins_dried" | "flush_over",
): Promise<void> {
  const fields = { ...NOTHING_TOLD, block: view.id, what, at: new Date().toISOString() };
  const change: Change = { verb: "add", kind: "happening", id: newId(), fields };
  await once(`happened ${view.id} ${what}`, () =>
    keep([change], `${WHATS[what]}: ${view.fields.label}, on this phone.`),
  );
}
