/** A block's harvest as a forecast reads it: flush by flush, with the waits between them. Validity: as harvestlog/calc/crops.py, on the same examples. */
import { flush_number, zero_or_more } from "./acceptable";
import { days_between } from "./days";
import type { Grown } from "./figures";

export type Wait = "first" | "rested" | "soaked";

const PICKED_OUT_DAYS = 4; // so long after its last pick a flush's mass is taken as whole (judgement, no source)
const SAME_DAY = 0.5; // what a wait of no days counts as, so that it has a logarithm

/** One flush: its number, the days of its first and last pick (YYYY-MM-DD), its grams, above 0. */
export interface Flush {
  number: number;
  first: string;
  last: string;
  grams: number;
}

/** One block as it was known on the day `watched_to`. since: opened, else received. soaked: days it came out of the water. over: noted as spent or discarded. pins: the day the pins or caps that stand now were first seen. */
export interface Crop {
  variety: string;
  watched_to: string;
  wet_g: number | null;
  since: string | null;
  flushes: readonly Flush[];
  soaked: readonly string[];
  over: boolean;
  pins?: string | null;
}

/** The crop of a block from its picks; picks of 0 g are no picks. */
export function crop(
  grown: Grown,
  watched_to: string,
  soaked: readonly string[] = [],
  pins: string | null = null,
): Crop {
  const by_number = new Map<number, { days: string[]; grams: number }>();
  for (const pick of grown.picks) {
    if (zero_or_more("wet mass of a pick", pick.wet_g) === 0) continue;
    const flush = by_number.get(flush_number(pick.flush)) ?? { days: [], grams: 0 };
    flush.days.push(pick.day);
    flush.grams += pick.wet_g;
    by_number.set(pick.flush, flush);
  }
  const flushes = [...by_number].sort(([one], [other]) => one - other);
  return {
    variety: grown.variety,
    watched_to,
    wet_g: grown.wet_g,
    since: grown.opened ?? grown.received,
    flushes: flushes.map(([number, { days, grams }]) => ({ number, ...ends(days), grams })),
    soaked,
    over: grown.ended,
    pins,
  };
}

function ends(days: readonly string[]): { first: string; last: string } {
  const sorted = [...days].sort(); // the order of the days, written as they are
  return { first: sorted[0] ?? "", last: sorted[sorted.length - 1] ?? "" };
}

/** What each flush, and the next one after them all, is waited for from. */
export function starts(block: Crop): [Wait, string | null][] {
  const after = block.flushes.map(({ last }, i): [Wait, string] => {
    const till = block.flushes[i + 1]?.first;
    const soaks = block.soaked.filter((day) => day > last && (till === undefined || day <= till)).sort();
    const out = soaks[soaks.length - 1];
    return out === undefined ? ["rested", last] : ["soaked", out];
  });
  return [["first", block.since], ...after];
}

// Every other block of a variety asks a crop for the same logs: worked out once for each.
const waits = new WeakMap<Crop, Partial<Record<Wait, number[]>>>();
const yields = new WeakMap<Crop, [number: number, log_yield: number][]>();

/** Logs of the days each flush was waited for, of one kind of wait; impossible ones (below 0 days) are left out. */
export function log_waits(block: Crop, kind: Wait): readonly number[] {
  const known = waits.get(block) ?? {};
  waits.set(block, known);
  known[kind] ??= waited(block, kind);
  return known[kind];
}

function waited(block: Crop, kind: Wait): number[] {
  const from = starts(block);
  return block.flushes.flatMap(({ first }, i) => {
    const [what, since] = from[i] ?? ["first", null];
    const days = what === kind && since !== null ? days_between(since, first) : -1;
    return days >= 0 ? [Math.log(Math.max(days, SAME_DAY))] : [];
  });
}

/** Number and log g per kg wet of each flush that was picked out; none without a wet mass. */
export function log_yields(block: Crop): readonly [number: number, log_yield: number][] {
  const known = yields.get(block) ?? yielded(block);
  yields.set(block, known);
  return known;
}

function yielded(block: Crop): [number: number, log_yield: number][] {
  const wet_g = block.wet_g ?? 0;
  if (wet_g <= 0) return [];
  const whole = block.flushes.filter(
    ({ last }, i) =>
      i + 1 < block.flushes.length || block.over || days_between(last, block.watched_to) >= PICKED_OUT_DAYS,
  );
  return whole.map(({ number, grams }) => [number, Math.log((1000 * grams) / wet_g)]);
}
