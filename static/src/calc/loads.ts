/** What a load in the dryer should end near by the farm's own runs, and what its weighings say. Validity and errors: as harvestlog/calc/loads.py, on the same examples. */
import { constant_weight, estimate_from_logs, type Verdict } from "./drying";
import { NothingPicked } from "./errors";
import { type Estimate, published_prior, sum } from "./estimates";
import { dry_g_for_fresh } from "./rehydration";
import { type DriedPick, type Load, type Runs, runs_of, sorted_runs } from "./runs";

export const USUAL_STEP_G = 1; // of a kitchen scale, where the grower has not said (our assumption)

/** Minutes since the load was started, grams, and whether it was left to cool first. */
export interface LoadWeighing {
  minutes: number;
  mass_g: number;
  cooled: boolean;
}

/** Each variety's key in the catalogue. */
type Species = Readonly<Record<string, string>>;

/** The dry-down ratio of the next run of a variety by a method, from the farm's own runs and what is published. */
export function dry_down(
  loads: readonly Load[],
  picks: readonly DriedPick[],
  variety: string | null,
  method: string | null,
  species: Species,
): Estimate {
  return dry_down_from(sorted_runs(loads, picks), species, variety, method);
}

/** As dry_down, from runs sorted before; `but_for` is a load that shall not count. */
export function dry_down_from(
  runs: Runs,
  species: Species,
  variety: string | null,
  method: string | null,
  but_for: string | null = null,
): Estimate {
  const key = variety !== null && Object.hasOwn(species, variety) ? species[variety] : undefined;
  const logs = runs_of(runs, variety, method, but_for).map((run) => run.log_ratio);
  return estimate_from_logs(logs, published_prior(key ?? ""));
}

/** Dried grams a load should end near, with a 90 % interval. Neither the load itself nor its picks count among the runs. Of several varieties the ends are added up, which is rather too wide; n is the least of theirs. */
export function expected_dry_g(
  load: Load,
  loads: readonly Load[],
  picks: readonly DriedPick[],
  species: Species,
): Estimate {
  return expected_from(sorted_runs([...loads, load], picks), species, load);
}

/** As expected_dry_g, from runs sorted before out of all loads, this one among them. */
export function expected_from(runs: Runs, species: Species, load: Load): Estimate {
  const wet = new Map<string | null, number>();
  for (const part of load.parts) wet.set(part.variety, (wet.get(part.variety) ?? 0) + part.wet_g);
  if (wet.size === 0)
    throw new NothingPicked("There is nothing in this load yet: put in the picks that are dried together.");
  const found = [...wet].map(([variety, grams]) =>
    dry_g_for_fresh(grams, dry_down_from(runs, species, variety, load.method, load.id)),
  );
  return {
    value: sum(found.map((one) => one.value)),
    low: sum(found.map((one) => one.low)),
    high: sum(found.map((one) => one.high)),
    n: Math.min(...found.map((one) => one.n)),
    basis: [...new Set(found.map((one) => one.basis))].join("; "),
  };
}

/** What a load's weighings, oldest first, say of its drying; only those taken cooled are held against each other, as a warm load reads light. Without the scale's step, 1 g is taken. */
export function load_verdict(weighings: readonly LoadWeighing[], step_g: number | null): Verdict {
  const cooled = weighings.filter((weighing) => weighing.cooled);
  return constant_weight(
    cooled.map((weighing) => weighing.mass_g),
    step_g ?? USUAL_STEP_G,
    cooled.map((weighing) => weighing.minutes),
  );
}
