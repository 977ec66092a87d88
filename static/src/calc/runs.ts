/** Which of a farm's loads and picks tell how a variety dries down: its runs. Validity and errors: as harvestlog/calc/runs.py, on the same examples. */
import { dry_down_ratio } from "./drying";
import { type Estimate, sum } from "./estimates";

export const LIGHTEST_G = 0.001; // what a typed mass is rounded to: less was never weighed
export const OWN_LOAD = "its own load";
export const OWN_MIXED_LOAD = "the mean of its own load, which was mixed";

/** What went into a load: a pick of a variety, or mushrooms of a variety from elsewhere; a variety unknown is null. */
export interface Part {
  pick: string | null;
  variety: string | null;
  wet_g: number;
}

/** One load in the dryer; `dry_g` is the whole of it as weighed at the end, null before. */
export interface Load {
  id: string;
  method: string;
  parts: readonly Part[];
  dry_g: number | null;
}

/** A pick that was weighed wet and dried by itself. */
export interface DriedPick {
  id: string;
  variety: string;
  wet_g: number;
  dry_g: number;
}

/** What one load of a single variety tells, or one pick dried alone: then `load` and `method` are null. log_ratio: the logarithm of its dry-down ratio. */
export interface Run {
  wet_g: number;
  dry_g: number;
  log_ratio: number;
  load: string | null;
  method: string | null;
}

/** A farm's runs sorted once by variety, each in the order given. */
export interface Runs {
  of_loads: ReadonlyMap<string, readonly Run[]>;
  of_picks: ReadonlyMap<string, readonly Run[]>;
}

/** The runs that tell how varieties dry down: finished loads of one variety each, and picks that lay in no load. A run heavier dried than wet, or of nothing, is left out. */
export function sorted_runs(loads: readonly Load[], picks: readonly DriedPick[]): Runs {
  const of_loads = new Map<string, Run[]>();
  const of_picks = new Map<string, Run[]>();
  const in_loads = new Set<string | null>();
  for (const { id, method, parts, dry_g } of loads) {
    for (const part of parts) in_loads.add(part.pick);
    const variety = only_variety(parts);
    const wet_g = sum(parts.map((part) => part.wet_g));
    if (variety !== null && dry_g !== null && usable(wet_g, dry_g))
      add(of_loads, variety, run(wet_g, dry_g, id, method));
  }
  for (const { id, variety, wet_g, dry_g } of picks)
    if (!in_loads.has(id) && usable(wet_g, dry_g)) add(of_picks, variety, run(wet_g, dry_g, null, null));
  return { of_loads, of_picks };
}

function only_variety(parts: readonly Part[]): string | null {
  const [variety, ...more] = new Set(parts.map((part) => part.variety));
  return more.length > 0 ? null : (variety ?? null);
}

function usable(wet_g: number, dry_g: number): boolean {
  return dry_g >= LIGHTEST_G && dry_g <= wet_g;
}

function run(wet_g: number, dry_g: number, load: string | null, method: string | null): Run {
  return { wet_g, dry_g, log_ratio: Math.log(dry_down_ratio(wet_g, dry_g)), load, method };
}

function add(runs: Map<string, Run[]>, variety: string, one: Run): void {
  const theirs = runs.get(variety);
  if (theirs) theirs.push(one);
  else runs.set(variety, [one]);
}

/** The dry-down ratio of what came out of this very load: weighed on both sides, so low and high are the value itself. Of several varieties it is their mean, and the basis says so. null where the load was not weighed both wet and dried, or weighs more dried than wet. */
export function own_ratio({ parts, dry_g }: Load): Estimate | null {
  const wet_g = sum(parts.map((part) => part.wet_g));
  if (dry_g === null || !usable(wet_g, dry_g)) return null;
  const value = dry_down_ratio(wet_g, dry_g);
  const mixed = new Set(parts.map((part) => part.variety)).size > 1;
  return { value, low: value, high: value, n: 1, basis: mixed ? OWN_MIXED_LOAD : OWN_LOAD };
}

/** The runs that tell how a variety dries down by a method; `but_for` is a load that shall not count. Finished loads of this variety alone, dried by this method, count whole. Where there is none, picks that carry their own dried weight count instead; a pick that lay in a load is no run of its own. Without a method (null), all loads of the variety and all such picks count. */
export function runs_of(
  runs: Runs,
  variety: string | null,
  method: string | null,
  but_for: string | null = null,
): Run[] {
  if (variety === null) return [];
  const of_loads = (runs.of_loads.get(variety) ?? []).filter(
    (one) => (method === null || one.method === method) && one.load !== but_for,
  );
  if (of_loads.length > 0 && method !== null) return of_loads;
  return [...of_loads, ...(runs.of_picks.get(variety) ?? [])];
}

/** The runs of runs_of as fresh and dried grams, loads first, each in the order given. */
export function dry_down_history(
  loads: readonly Load[],
  picks: readonly DriedPick[],
  variety: string | null,
  method: string | null,
): (readonly [wet_g: number, dry_g: number])[] {
  return runs_of(sorted_runs(loads, picks), variety, method).map((one) => [one.wet_g, one.dry_g]);
}
