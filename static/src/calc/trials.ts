/** What a soaking trial's weighings show: how much water dried mushrooms take up again, and how fast. Validity and errors: as harvestlog/calc/trials.py, on the same examples. */
import { zero_or_more } from "./acceptable";
import { FINAL_WATER_PCT, PUBLISHED_WATER, sum } from "./estimates";
import {
  coefficient_of_rehydration,
  fit_peleg,
  moisture_db,
  type Peleg,
  peleg_moisture_db,
  rehydration_ratio,
} from "./rehydration";

export const DRIED_WATER_PCT = sum(FINAL_WATER_PCT) / 2; // taken for the mushrooms of a soaking trial; no weight tells it

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
