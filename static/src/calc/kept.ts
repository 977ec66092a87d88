/** How a farm's loads, jars, trials and extracts are read by the calculations of keeping: which runs count, what stands for what. Validity and errors: as harvestlog/calc/kept.py, on the same examples. */
import { above_zero, number, zero_or_more } from "./acceptable";
import { constant_weight, estimate_dry_down, type Verdict } from "./drying";
import { NothingPicked } from "./errors";
import {
  type Estimate,
  FINAL_WATER_PCT,
  FRESH_WATER_PCT,
  PUBLISHED_WATER,
  published_prior,
  sum,
} from "./estimates";
import type { TwoStage } from "./extracts";
import {
  coefficient_of_rehydration,
  dry_g_for_fresh,
  fit_peleg,
  fresh_g_for_dry,
  moisture_db,
  type Peleg,
  peleg_moisture_db,
  rehydration_ratio,
} from "./rehydration";

export const USUAL_STEP_G = 1; // of a kitchen scale, where the grower has not said (our assumption)
export const LIGHTEST_G = 0.001; // what a typed mass is rounded to: less was never weighed
export const DRIED_WATER_PCT = sum(FINAL_WATER_PCT) / 2; // taken for the mushrooms of a soaking trial; no weight tells it

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

/** Minutes since the load was started, grams, and whether it was left to cool first. */
export interface LoadWeighing {
  minutes: number;
  mass_g: number;
  cooled: boolean;
}

export type Run = readonly [wet_g: number, dry_g: number];

/** The runs that tell how a variety dries down by a method, in the order given, loads first. Finished loads of this variety alone, dried by this method, count whole. Where there is none, picks that carry their own dried weight count instead; a pick that lay in a load is no run of its own. Without a method (null), all loads of the variety and all such picks count. A run heavier dried than wet, or of nothing, is left out. */
export function dry_down_history(
  loads: readonly Load[],
  picks: readonly DriedPick[],
  variety: string | null,
  method: string | null,
): Run[] {
  const runs = loads
    .filter((load) => only_of(load, variety) && (method === null || load.method === method))
    .map(({ parts, dry_g }): Run => [sum(parts.map((part) => part.wet_g)), dry_g ?? 0])
    .filter(usable);
  if (runs.length > 0 && method !== null) return runs;
  const in_loads = new Set(loads.flatMap((load) => load.parts.map((part) => part.pick)));
  const alone = picks
    .filter((pick) => pick.variety === variety && !in_loads.has(pick.id))
    .map((pick): Run => [pick.wet_g, pick.dry_g]);
  return [...runs, ...alone.filter(usable)];
}

function only_of({ parts }: Load, variety: string | null): boolean {
  return variety !== null && parts.length > 0 && parts.every((part) => part.variety === variety);
}

function usable([wet, dry]: Run): boolean {
  return dry >= LIGHTEST_G && dry <= wet;
}

/** Dried grams a load should end near, with a 90 % interval; `species` gives the catalogue key of each variety. Neither the load itself nor its picks count among the runs. Of several varieties the ends are added up, which is rather too wide; n is the least of theirs. */
export function expected_dry_g(
  load: Load,
  loads: readonly Load[],
  picks: readonly DriedPick[],
  species: Readonly<Record<string, string>>,
): Estimate {
  const wet = new Map<string | null, number>();
  for (const part of load.parts) wet.set(part.variety, (wet.get(part.variety) ?? 0) + part.wet_g);
  if (wet.size === 0)
    throw new NothingPicked("There is nothing in this load yet: put in the picks that are dried together.");
  const inside = new Set(load.parts.map((part) => part.pick));
  const others = loads.filter((other) => other.id !== load.id);
  const alone = picks.filter((pick) => !inside.has(pick.id));
  const found = [...wet].map(([variety, grams]) =>
    dry_g_for_fresh(grams, dry_down(others, alone, variety, load.method, species)),
  );
  return {
    value: sum(found.map((one) => one.value)),
    low: sum(found.map((one) => one.low)),
    high: sum(found.map((one) => one.high)),
    n: Math.min(...found.map((one) => one.n)),
    basis: [...new Set(found.map((one) => one.basis))].join("; "),
  };
}

/** The dry-down ratio of the next run of a variety by a method, from the farm's own runs and what is published. */
export function dry_down(
  loads: readonly Load[],
  picks: readonly DriedPick[],
  variety: string | null,
  method: string | null,
  species: Readonly<Record<string, string>>,
): Estimate {
  const key = variety !== null && Object.hasOwn(species, variety) ? species[variety] : undefined;
  return estimate_dry_down(dry_down_history(loads, picks, variety, method), published_prior(key ?? ""));
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

/** Grams left of dry_g after the takings, rounded to 0.001 g; below 0 where two phones took from it offline. */
export function jar_left_g(dry_g: number, takings_g: readonly number[]): number {
  const taken = sum(takings_g.map((grams) => zero_or_more("mass taken", grams)));
  return Math.floor((above_zero("dry mass of the jar", dry_g) - taken) * 1000 + 0.5) / 1000;
}

/** Fresh grams that so much dried stands for, by the dry-down ratio; null where nothing is left. */
export function fresh_equivalent(dry_g: number, ratio: Estimate): Estimate | null {
  const left = number("dry mass", dry_g);
  return left > 0 ? fresh_g_for_dry(left, ratio) : null;
}

export type Soaked = readonly [minutes: number, drained_g: number];

/** Minutes and rehydration ratio of each weighing of a soaking trial. */
export function trial_ratios(
  dry_g: number,
  weighings: readonly Soaked[],
): [minutes: number, ratio: number][] {
  return weighings.map(([minutes, drained]) => [
    zero_or_more("soaking time", minutes),
    rehydration_ratio(drained, dry_g),
  ]);
}

/** Peleg's curve through a soaking trial's weighings, from the dried mass as its start. The dried mushrooms' own water is taken for granted; ratios read by ratio_at do not depend on it. */
export function trial_curve(
  dry_g: number,
  weighings: readonly Soaked[],
  dried_water_pct = DRIED_WATER_PCT,
): Peleg {
  return fit_peleg(
    weighings.map(([minutes]) => minutes),
    weighings.map(([, drained]) => moisture_db(drained, dry_g, dried_water_pct)),
    moisture_db(dry_g, dry_g, dried_water_pct),
  );
}

/** The rehydration ratio a trial's curve gives after so many minutes; take the dried_water_pct of the curve. */
export function ratio_at(curve: Peleg, minutes: number, dried_water_pct = DRIED_WATER_PCT): number {
  return (peleg_moisture_db(curve, minutes) + 1) * (1 - dried_water_pct / 100);
}

/** Share of its fresh mass that a soaked mushroom has again; null where the species' fresh water is not published. The water of other kinds does not stand in: one point of it moves the share by a tenth. */
export function came_back(drained_g: number, dry_g: number, species: string): number | null {
  const [water_pct] = Object.hasOwn(PUBLISHED_WATER, species) ? (PUBLISHED_WATER[species] ?? []) : [];
  if (water_pct === undefined) return null;
  return coefficient_of_rehydration(drained_g, dry_g, water_pct, DRIED_WATER_PCT);
}

/** What a grower noted of an extract; steps in the order of time. */
export interface Brew {
  mushroom: string; // "dried" or "fresh"
  mass_g: number;
  spirit_ml: number;
  spirit_pct: number;
  fresh_water_low_pct: number | null;
  fresh_water_high_pct: number | null;
  steps: readonly (readonly [what: string, volume_ml: number | null])[];
}

/** An extract's notes as extracts.dual_extract takes them. Of several measured volumes of one stage the last stands; no water stage yet is 0 mL. An end of the fresh water left empty is the usual one, or the other end where that lies beyond it. */
export function two_stage(brew: Brew): TwoStage {
  const fresh = brew.mushroom === "fresh";
  const { fresh_water_low_pct: low, fresh_water_high_pct: high } = brew;
  const [usual_low, usual_high] = FRESH_WATER_PCT;
  return {
    spirit_ml: brew.spirit_ml,
    spirit_pct_vol: brew.spirit_pct,
    water_stage_ml: measured(brew, "boiled") ?? 0,
    dry_g: fresh ? 0 : brew.mass_g,
    fresh_g: fresh ? brew.mass_g : 0,
    strained_ml: measured(brew, "strained"),
    fresh_water_pct: [
      low ?? Math.min(usual_low, high ?? usual_low),
      high ?? Math.max(usual_high, low ?? usual_high),
    ],
  };
}

function measured(brew: Brew, step: string): number | null {
  const found = brew.steps.findLast(([what, volume]) => what === step && volume !== null);
  return found?.[1] ?? null;
}
