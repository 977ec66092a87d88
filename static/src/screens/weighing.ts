/** One weighing as it is being made: its draft, what is wrong with it, and the records it becomes. */
import { plausible_dry_share } from "../calc/drying";
import type { BlockView, Standing } from "../records/farm_view";
import type { Unit } from "../records/masses";
import { readTyped, type Typed, typedFrom, typedText } from "../records/typed";
import type { Handling, Id, Stage } from "../records/types";
import { judge, type Verdict } from "../records/weighing";
import { type Change, newId, type Pair, type Picture } from "../store";
import { dayOf, dayWords, fieldTime, instantOf, localDay } from "./dates";
import { hasEnded, mass, standingOf, stateOf } from "./here";
import { written } from "./patch";

export interface Weighing {
  wet: Typed;
  dry: Typed;
  /** which of the two the pad writes */
  on: "wet" | "dry";
  flush: number;
  handling: Handling;
  /** "" means now; else what a datetime-local field holds */
  when: string;
  photo: { pair: Pair; stage: Stage } | null;
  /** the figure the grower has said yes to, or "block" for an ended block with no odd figure yet */
  confirmed: string;
  /** of a pick that is corrected: the pick as it was when this began, however long the draft has lain */
  seen?: Standing<"pick">;
}

/** `yes`: what `confirmed` becomes on a yes; `live`: said while it is typed, not only on saving; `block`: its mass may be wrong. */
export type Problem = {
  words: string;
  field: "wet" | "dry" | "when";
  confirm?: string;
  yes?: string;
  live?: boolean;
  block?: true | undefined;
};

export function freshWeighing(view: BlockView, unit: Unit): Weighing {
  const last = view.picks.at(-1)?.fields;
  return {
    wet: { digits: "", unit },
    dry: { digits: "", unit },
    on: "wet",
    flush: standingOf(view).flush,
    handling: last?.handling ?? "whole",
    when: "",
    photo: null,
    confirmed: "",
  };
}

export function weighingOf(seen: Standing<"pick">, unit: Unit): Weighing {
  const pick = seen.fields;
  return {
    seen,
    wet: typedFrom(pick.typed, pick.wet_g),
    dry: pick.dry_g === null ? { digits: "", unit } : typedFrom(pick.dry_typed, pick.dry_g),
    on: "wet",
    flush: pick.flush,
    handling: pick.handling,
    when: fieldTime(new Date(pick.at)),
    photo: null,
    confirmed: "",
  };
}

function grams(typed: Typed): number | null {
  const read = readTyped(typed);
  return "grams" in read ? read.grams : null;
}

/** What stands in the way of saving; null when nothing does. */
export function problem(weighing: Weighing, view: BlockView, self?: Id): Problem | null {
  const { wet, dry, when } = weighing;
  for (const field of ["wet", "dry"] as const) {
    if (field === "dry" && dry.digits === "") continue;
    const read = readTyped(weighing[field]);
    if (!("grams" in read)) return { field, words: read.sentence };
  }
  const at = when === "" ? new Date().toISOString() : instantOf(when);
  if (!at) return { field: "when", words: "Choose the day and the time, or leave it at now." };
  const weighed = { wet_g: grams(wet) ?? 0, dry_g: dry.digits === "" ? null : grams(dry), day: dayOf(at) };
  const others = view.picks.filter((pick) => pick.id !== self).map(({ fields }) => fields);
  // What was typed is spoken of as it was typed.
  const shown = (g: number) =>
    g === weighed.wet_g ? typedText(wet) : g === weighed.dry_g ? typedText(dry) : plainMass(g);
  // Any yes so far was, or came after, a yes to the block.
  const ended = !self && weighing.confirmed === "" && hasEnded(view) && stateOf(view);
  const today = localDay(new Date());
  const said = (day: string) => dayWords(day, today);
  const around = { others, today, said, shown, plausible: plausible_dry_share, ended };
  return spoken(judge(weighed, view, around), weighing);
}

/** "3 kg" in a sentence, where "3.00 kg" would claim a scale's step. */
function plainMass(g: number): string {
  return mass(g).replace(".00 ", " ");
}

function spoken(verdict: Verdict, weighing: Weighing): Problem | null {
  if (!verdict) return null;
  if ("refused" in verdict) return { field: verdict.field, words: verdict.refused, live: true };
  if (weighing.confirmed === confirmKey(weighing)) return null;
  const { field, asked: words, confirm, block, yes = confirmKey(weighing) } = verdict;
  // Half a dried mass is always unlikely.
  return { field, words, confirm, yes, block, live: field === "wet" };
}

/** A yes holds for these figures only. */
export function confirmKey({ wet, dry }: Weighing): string {
  return `${typedText(wet)}|${typedText(dry)}`;
}

/** The pick first and, with it, its photo: one save. Of a pick that was there before, the changed fields. */
export function records(weighing: Weighing, view: BlockView): [Change[], Picture[]] {
  const { wet, dry, flush, handling, when, photo, seen } = weighing;
  const unchanged = seen && when === fieldTime(new Date(seen.fields.at));
  const at = unchanged ? seen.fields.at : (when && instantOf(when)) || new Date().toISOString();
  const fields = {
    block: view.id,
    flush,
    at,
    wet_g: grams(wet) ?? 0,
    typed: typedText(wet),
    handling,
    dry_g: dry.digits === "" ? null : grams(dry),
    dry_typed: typedText(dry),
  };
  const unasked = seen ? {} : { scale_step_g: null, pieces: null, note: "" };
  const pick = written("pick", { ...fields, ...unasked }, seen);
  if (!photo) return [[pick], []];
  const about = { block: view.id, flush, pick: pick.id, stage: photo.stage, taken: at };
  return [
    [pick, photoRecord(photo.pair, about)],
    [photo.pair.thumb, photo.pair.full],
  ];
}

export function photoRecord(
  pair: Pair,
  about: { block: Id; flush: number | null; pick: Id | null; stage: Stage; taken: string },
): Change {
  const { full, thumb, width, height } = pair;
  const named = { sha256: full.sha256, thumb_sha256: thumb.sha256, width, height, note: "" };
  return { verb: "add", kind: "photo", id: newId(), fields: { ...about, ...named } };
}
