/** What needs a look today, from each block's state and what was last noted of it. Pure: the time is handed in. */
import type { BlockView } from "./farm_view";

const HOUR = 3_600_000;
const DAY = 24 * HOUR;

// Common practice, no source: how long a block may rest, and a soak be overdue, before it is worth a sentence.
const LONG_REST_DAYS = 14;
const LONG_WAIT_DAYS = 28;
const SOAK_SHOWN_FOR = 2 * DAY;
// Pins that are to be looked for this soon are worth a line today (judgement, no source).
const SOON = 3 * DAY;

export type Reason = "soak" | "ready" | "picking" | "pins" | "look" | "resting" | "soon";

export interface Due {
  why: Reason;
  view: BlockView;
  /** soak: planned end. look, soon: when pins are to be looked for. Else when the thing was last seen, in ms since 1970. */
  since: number;
  /** soak only: the happening whose end is due */
  soak: BlockView["happenings"][number] | undefined;
}

/** What is usual of a species, in days, and when a resting block's pins are expected, in ms; null where nothing is known or expected. */
export interface Pace {
  pinToHarvestLow: number | null;
  betweenFlushesHigh: number | null;
  lookFrom: number | null;
}

export interface Stood {
  view: BlockView;
  state: string;
}

const ORDER: readonly Reason[] = ["soak", "ready", "picking", "pins", "look", "resting", "soon"];

/** Sorted by how soon it spoils: soaks, ripe blocks, open flushes, pins seen, pins expected, long rests; the oldest first within each. */
export function dueToday(blocks: Iterable<Stood>, now: number, paceOf: (view: BlockView) => Pace): Due[] {
  const due: Due[] = [];
  for (const { view, state } of blocks) {
    if (state === "spent" || state === "discarded") continue;
    const found =
      soakDue(view, now) ?? (state === "soaking" ? undefined : growthDue(view, state, now, paceOf(view)));
    if (found) due.push(found);
  }
  return due.sort((a, b) => ORDER.indexOf(a.why) - ORDER.indexOf(b.why) || a.since - b.since);
}

/** The last soak, from a day before its planned end until something later was noted of the block. */
function soakDue(view: BlockView, now: number): Due | undefined {
  const soak = view.happenings.findLast(({ fields }) => fields.what === "soaked");
  if (!soak || soak.fields.until === null) return undefined;
  const until = Date.parse(soak.fields.until);
  if (until - now > DAY || now - until > SOAK_SHOWN_FOR || lastNoted(view) >= until) return undefined;
  return { why: "soak", view, since: until, soak };
}

function growthDue(view: BlockView, state: string, now: number, pace: Pace): Due | undefined {
  const item = (why: Reason, since: number): Due => ({ why, view, since, soak: undefined });
  if (state === "fruiting") {
    const ready = latest(
      view.photos.filter(({ fields }) => fields.stage === "ready").map((p) => p.fields.taken),
    );
    const picked = latest(view.picks.map(({ fields }) => fields.at));
    return ready > picked ? item("ready", ready) : item("picking", Math.max(picked, lastNoted(view)));
  }
  if (state === "pinning") {
    const pins = pinsSince(view);
    const ripe = pace.pinToHarvestLow !== null && now - pins >= pace.pinToHarvestLow * DAY;
    return item(ripe ? "ready" : "pins", pins);
  }
  const { lookFrom } = pace;
  if (lookFrom !== null) {
    if (lookFrom <= now) return item("look", lookFrom);
    return lookFrom - now <= SOON ? item("soon", lookFrom) : undefined;
  }
  const since = restingSince(view);
  const patience = view.picks.length > 0 ? (pace.betweenFlushesHigh ?? LONG_REST_DAYS) : LONG_WAIT_DAYS;
  return now - since > patience * DAY ? item("resting", since) : undefined;
}

/** When the pins of the flush to come were first seen. */
function pinsSince(view: BlockView): number {
  const from = latest([
    ...view.picks.map(({ fields }) => fields.at),
    ...view.happenings.filter(({ fields }) => fields.what === "soaked").map(({ fields }) => fields.at),
  ]);
  const seen = [
    ...view.happenings.filter(({ fields }) => fields.what === "pins_seen").map(({ fields }) => fields.at),
    ...view.photos
      .filter(({ fields }) => fields.stage === "pins" || fields.stage === "knots")
      .map(({ fields }) => fields.taken),
  ].map(Date.parse);
  return Math.min(...seen.filter((at) => at > from));
}

function restingSince(view: BlockView): number {
  const received = view.delivery ? Date.parse(`${view.delivery.fields.received}T12:00:00`) : -Infinity;
  const noted = view.happenings
    .filter(({ fields }) => ["opened", "soaked", "moved"].includes(fields.what))
    .map(({ fields }) => fields.until ?? fields.at);
  const last = Math.max(received, latest([...noted, ...view.picks.map(({ fields }) => fields.at)]));
  return Number.isFinite(last) ? last : Infinity;
}

function lastNoted(view: BlockView): number {
  return latest([
    ...view.happenings.map(({ fields }) => fields.at),
    ...view.picks.map(({ fields }) => fields.at),
    ...view.photos.map(({ fields }) => fields.taken),
  ]);
}

function latest(instants: readonly string[]): number {
  return instants.reduce((last, at) => Math.max(last, Date.parse(at)), -Infinity);
}
