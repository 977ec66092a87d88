/** Everything that falls due, from plain facts. Validity, sources: as harvestlog/calc/due.py, on the same examples. Instants are milliseconds since 1970 UTC, days YYYY-MM-DD. */
import { constant_weight, DRIED_AGAIN_MIN } from "./drying";
import { Unacceptable } from "./errors";
import { later_day } from "./later_day";
import { block_state, contaminated_since, type Noted, type PickedAt, pins_since, type Seen } from "./states";

export const DUE_KINDS = [
  "soak_out",
  "weigh_again",
  "look_for_pins",
  "pick_window",
  "strain",
  "shake",
  "look_into_jars",
  "best_before",
] as const;
export type DueKind = (typeof DUE_KINDS)[number];

// Common practice, no source: so many days after a jar was closed it is looked into, and shaken, daily.
export const LOOK_INTO_JARS_DAYS = 7;
// Judgement, no source.
export const SOAK_OVERDUE_DAYS = 2; // so long a soak that nobody ended is still called due
export const NOTHING_LIKELY = 0.5; // from this chance of no further flush on, nobody is sent to look for pins
const EMPTY_BELOW_G = 0.05; // a jar whose takings add up to all but this is empty: sums of decimals seldom come to 0

const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;
// Kitchen scales of the trade count in whole grams (from memory, no source).
const USUAL_STEP_G = 1;

/**
 * One thing that falls due. key: the block, load, jar or extract. day: its calendar day, the first where there are several.
 * at: the moment, where there is one. until: its last day. every_days: it comes again so often, up to `until`.
 */
export interface Due {
  kind: DueKind;
  key: string;
  day: string;
  at: number | null;
  until: string | null;
  every_days: number | null;
}

/** Everything noted of a block. pin_days: usual days from pins to picking. next: of calc/forecast. */
export interface BlockFacts {
  of: "block";
  key: string;
  happenings: readonly Noted[];
  picks: readonly PickedAt[];
  photos: readonly Seen[];
  pin_days: readonly [low: number, high: number] | null;
  next: { first_day: string; chance_of_nothing: number } | null;
}

/** A load in the dryer; weighings oldest first. */
export interface LoadFacts {
  of: "load";
  key: string;
  ended: boolean;
  step_g: number | null;
  weighings: readonly { at: number; mass_g: number }[];
}

export interface JarFacts {
  of: "jar";
  key: string;
  packed: string;
  left_g: number;
  best_before: string | null;
}

export interface ExtractFacts {
  of: "extract";
  key: string;
  started: number;
  steep_low_days: number;
  steep_high_days: number;
  shake_days: number | null;
  steps: readonly { what: string; at: number }[];
}

export type Facts = BlockFacts | LoadFacts | JarFacts | ExtractFacts;

/** Everything due, by day; within a day what has no hour first. day_of: the calendar day of an instant where the grower lives. */
export function due(facts: readonly Facts[], now: number, day_of: (at: number) => string): Due[] {
  const found = facts.flatMap((each) => {
    if (each.of === "block") return of_block(each, now, day_of);
    if (each.of === "load") return of_load(each, day_of);
    return each.of === "jar" ? of_jar(each, day_of(now)) : of_extract(each, day_of);
  });
  return found.sort(
    (a, b) =>
      order(a.day, b.day) ||
      (a.at ?? -1) - (b.at ?? -1) ||
      DUE_KINDS.indexOf(a.kind) - DUE_KINDS.indexOf(b.kind) ||
      order(a.key, b.key),
  );
}

const WHOLE_DAY = { at: null, until: null, every_days: null };

function of_block(block: BlockFacts, now: number, day_of: (at: number) => string): Due[] {
  const { key, happenings, picks, photos } = block;
  const state = block_state(happenings, picks, photos, now);
  if (state === "spent" || state === "discarded" || contaminated_since(happenings, now) !== null) return [];
  const soak_until = open_soak(block);
  if (soak_until !== null && now - soak_until <= SOAK_OVERDUE_DAYS * DAY)
    return [{ ...WHOLE_DAY, kind: "soak_out", key, day: day_of(soak_until), at: soak_until }];
  if (state === "pinning") return pick_window(block, now, day_of);
  return state === "resting" ? look_for_pins(block, day_of(now)) : [];
}

/** Planned end of the last soak, unless something was noted, picked or photographed since. */
function open_soak({ happenings, picks, photos }: BlockFacts): number | null {
  const soaks = happenings.filter(({ what }) => what === "soaked");
  const last = Math.max(...soaks.map(({ at }) => at));
  const until = soaks.find(({ at }) => at === last)?.until ?? null;
  const noted = [...happenings, ...picks].map(({ at }) => at).concat(photos.map(({ taken }) => taken));
  return until !== null && Math.max(...noted) < until ? until : null;
}

/** From the day the pins of the flush to come were first seen. */
function pick_window(block: BlockFacts, now: number, day_of: (at: number) => string): Due[] {
  const { key, happenings, picks, photos, pin_days } = block;
  const seen = pins_since(happenings, picks, photos, now);
  if (pin_days === null || seen === null) return [];
  const [low, high] = pin_days;
  const until = later_day(day_of(seen), whole(high));
  if (until < day_of(now)) return [];
  return [{ ...WHOLE_DAY, kind: "pick_window", key, day: later_day(day_of(seen), whole(low)), until }];
}

/** Pins stand there some days before the first pick. A block that is late is looked at every day. */
function look_for_pins({ key, next, pin_days }: BlockFacts, today: string): Due[] {
  if (next === null || next.chance_of_nothing >= NOTHING_LIKELY) return [];
  const from = later_day(next.first_day, -whole(pin_days?.[0] ?? 0));
  return [{ ...WHOLE_DAY, kind: "look_for_pins", key, day: order(from, today) < 0 ? today : from }];
}

function of_load(load: LoadFacts, day_of: (at: number) => string): Due[] {
  const last = load.weighings[load.weighings.length - 1];
  if (load.ended || last === undefined || is_constant(load)) return [];
  const at = last.at + DRIED_AGAIN_MIN * MINUTE;
  return [{ ...WHOLE_DAY, kind: "weigh_again", key: load.key, day: day_of(at), at }];
}

function is_constant({ weighings, step_g }: LoadFacts): boolean {
  const masses = weighings.map(({ mass_g }) => mass_g);
  const times = weighings.map(({ at }) => at / MINUTE);
  try {
    return constant_weight(masses, step_g ?? USUAL_STEP_G, times).verdict === "constant";
  } catch (error) {
    if (error instanceof Unacceptable) return false; // a weight that rose, two at one time: weigh once more
    throw error;
  }
}

function of_jar({ key, packed, left_g, best_before }: JarFacts, today: string): Due[] {
  if (left_g < EMPTY_BELOW_G) return [];
  const until = later_day(packed, LOOK_INTO_JARS_DAYS);
  const found: Due[] = [];
  if (today <= until)
    found.push({
      ...WHOLE_DAY,
      kind: "look_into_jars",
      key,
      day: later_day(packed, 1),
      until,
      every_days: 1,
    });
  if (best_before !== null) found.push({ ...WHOLE_DAY, kind: "best_before", key, day: best_before });
  return found;
}

function of_extract(extract: ExtractFacts, day_of: (at: number) => string): Due[] {
  const { key, started, steps } = extract;
  // What comes after straining says that it was strained.
  if (steps.some(({ what }) => what !== "shaken" && what !== "note")) return [];
  const begun = day_of(started);
  const until = later_day(begun, whole(extract.steep_high_days));
  const found: Due[] = [
    { ...WHOLE_DAY, kind: "strain", key, day: later_day(begun, whole(extract.steep_low_days)), until },
  ];
  if (extract.shake_days === null) return found;
  const every_days = Math.max(1, whole(extract.shake_days));
  const shaken = steps.filter(({ what }) => what === "shaken").map(({ at }) => at);
  const day = later_day(day_of(Math.max(started, ...shaken)), every_days);
  if (day <= until) found.push({ ...WHOLE_DAY, kind: "shake", key, day, until, every_days });
  return found;
}

function whole(days: number): number {
  return Math.floor(days + 0.5);
}

function order(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
