/** Soaking dried mushrooms back: how much water they take up, how fast, and what a jar stands for in fresh ones. Validity and errors: as harvestlog/calc/rehydration.py, on the same examples. */
import { above_zero, moisture, result, zero_or_more } from "./acceptable";
import { dry_down_from_water } from "./drying";
import { Unacceptable } from "./errors";
import { type Estimate, plain, sum, usable } from "./estimates";

export const NEARLY_ALL = 0.9; // the share of the water a soak is timed for: the last of it takes as long again (our rule)
const NOTHING = 1e-9; // of the other term of k1 + k2 t: what zero comes to in a computer

/** A soaked and drained mass below the dry mass that went into the water. */
export class LighterThanDry extends Unacceptable {
  override name = "LighterThanDry";
}

/** Fewer than three different times after the start: no curve can be told from them. */
export class TooFewTimes extends Unacceptable {
  override name = "TooFewTimes";
}

/** Times and readings that are not one for one. */
export class PairsIncomplete extends Unacceptable {
  override name = "PairsIncomplete";
}

/** Readings that no curve of Peleg's, rising quickly at first and levelling off, goes through. */
export class NoPelegCurve extends Unacceptable {
  override name = "NoPelegCurve";
}

/** Grams soaked and drained per gram of dried mushroom; published ratios run from 1.8 to 7.7, so compare your own only. Source: definition. */
export function rehydration_ratio(drained_g: number, dry_g: number): number {
  const drained = above_zero("drained mass", drained_g);
  const dry = above_zero("dry mass", dry_g);
  if (drained < dry)
    throw new LighterThanDry(
      `The drained mass, ${drained} g, is below the dry mass, ${dry} g: check both weights, they may be swapped.`,
    );
  return result("rehydration ratio", drained / dry);
}

/** How much of the fresh mass came back: 1 is all of it; water contents in % of the mass they are in. Source: rehydration ratio over dry-down ratio. */
export function coefficient_of_rehydration(
  drained_g: number,
  dry_g: number,
  fresh_water_pct: number,
  dried_water_pct: number,
): number {
  const dry_down = dry_down_from_water(fresh_water_pct, dried_water_pct);
  return result("coefficient of rehydration", rehydration_ratio(drained_g, dry_g) / dry_down);
}

/** Grams of water per gram of dry matter in what dry_g, holding dried_water_pct of water, has soaked up to; what leaches into the water is not counted. Source: definition of moisture on the dry basis. */
export function moisture_db(drained_g: number, dry_g: number, dried_water_pct: number): number {
  const dry_matter = 1 - moisture("water content of the dried mushrooms", dried_water_pct) / 100;
  return result("moisture", rehydration_ratio(drained_g, dry_g) / dry_matter - 1);
}

/** Peleg's curve M(t) = m0 + t / (k1 + k2 t), M in g of water per g of dry matter: k1 in minutes, small when the water enters fast; 1/k2 is all the water that will enter. */
export interface Peleg {
  k1: number;
  k2: number;
  m0: number;
}

type Reading = readonly [time: number, moisture: number];

/**
 * Peleg's curve through soaking times, in minutes, and moistures, in g of water per g of dry matter.
 *
 * m0 is the moisture at the start: given, else the reading at 0 min, else fitted with the rest (weakest: weigh it dry).
 * The straight line t/(M - m0) = k1 + k2 t is fitted by least squares, weighted so that an error counts as one of M.
 * Source: Peleg 1988, J Food Sci 53:1216 (from memory).
 */
export function fit_peleg(
  times_min: readonly number[],
  moisture_db: readonly number[],
  m0: number | null = null,
): Peleg {
  if (times_min.length !== moisture_db.length)
    throw new PairsIncomplete(
      `There are ${times_min.length} times and ${moisture_db.length} readings: give one reading for each time.`,
    );
  const pairs = times_min.map(
    (time, i): Reading => [zero_or_more("soaking time", time), zero_or_more("moisture", moisture_db[i])],
  );
  const soaked = pairs.filter(([time]) => time > 0);
  const times = new Set(soaked.map(([time]) => time)).size;
  if (times < 3)
    throw new TooFewTimes(
      `Weighed at ${times} of the three different times after the start that a curve needs.`,
    );
  const dry = pairs.filter(([time]) => time === 0).map(([, reading]) => reading);
  const start = m0 ?? (dry.length > 0 ? sum(dry) / dry.length : fitted_start(soaked));
  return line_through(soaked, zero_or_more("moisture at the start", start));
}

function line_through(soaked: readonly Reading[], m0: number): Peleg {
  const rows = soaked.map(([time, reading]) => {
    const gained = reading - m0;
    if (gained <= 0)
      throw new NoPelegCurve(`After ${plain(time)} min it held no more water than dry: check that weighing.`);
    return { x: time, y: time / gained, w: ((gained * gained) / time) ** 2 };
  });
  const [k1, k2] = weighted_line(rows);
  const longest = Math.max(...soaked.map(([time]) => time));
  if (k2 * longest <= NOTHING * Math.abs(k1))
    throw new NoPelegCurve(
      `The water does not level off (k1 + k2 t crosses zero, k2 = ${k2.toPrecision(3)}): soak longer and weigh again.`,
    );
  if (k1 <= NOTHING * k2 * longest)
    throw new NoPelegCurve(
      `Nearly all the water was in by the first weighing (k1 + k2 t crosses zero, k1 = ${k1.toPrecision(3)}): weigh sooner after the start.`,
    );
  return { k1, k2, m0 };
}

/** Intercept and slope through points with weights, for two or more different x. */
function weighted_line(rows: readonly { x: number; y: number; w: number }[]): [number, number] {
  const total = sum(rows.map(({ w }) => w));
  const x_mean = sum(rows.map(({ x, w }) => w * x)) / total;
  const y_mean = sum(rows.map(({ y, w }) => w * y)) / total;
  const both = sum(rows.map(({ x, y, w }) => w * (x - x_mean) * (y - y_mean)));
  const slope = both / sum(rows.map(({ x, w }) => w * (x - x_mean) ** 2));
  return [y_mean - slope * x_mean, slope];
}

/** m0 where it was not weighed: written out, Peleg's curve is M = m0 + a t + b (t M), linear in all three. */
function fitted_start(soaked: readonly Reading[]): number {
  const mean = (of: (t: number, m: number) => number): number =>
    sum(soaked.map(([t, m]) => of(t, m))) / soaked.length;
  const t_mean = mean((t) => t);
  const m_mean = mean((_, m) => m);
  const p_mean = mean((t, m) => t * m);
  const rows = soaked.map(([t, m]) => ({ t: t - t_mean, m: m - m_mean, p: t * m - p_mean }));
  const tt = sum(rows.map(({ t }) => t * t));
  const pp = sum(rows.map(({ p }) => p * p));
  const tp = sum(rows.map(({ t, p }) => t * p));
  const tm = sum(rows.map(({ t, m }) => t * m));
  const pm = sum(rows.map(({ p, m }) => p * m));
  const det = tt * pp - tp * tp;
  // t M grows just as t: the readings stand still.
  if (det <= 1e-12 * tt * pp)
    throw new NoPelegCurve(
      "The readings do not change: weigh the dried mushrooms too, as the reading at 0 min.",
    );
  const a = (tm * pp - pm * tp) / det;
  const b = (pm * tt - tm * tp) / det;
  return Math.max(0, m_mean - a * t_mean - b * p_mean);
}

/** Moisture, in g of water per g of dry matter, after so many minutes in water of the trial's temperature. Source: Peleg's curve. */
export function peleg_moisture_db(curve: Peleg, time_min: number): number {
  const time = zero_or_more("soaking time", time_min);
  return curve.m0 + time / (curve.k1 + curve.k2 * time);
}

/** Minutes until nine tenths of the water that will enter has entered. Source: Peleg's curve solved for t; the nine tenths are our rule. */
export function soak_minutes(curve: Peleg): number {
  return ((NEARLY_ALL / (1 - NEARLY_ALL)) * curve.k1) / curve.k2;
}

/** Grams (so about millilitres) of water that dry_g takes up at a rehydration ratio; put in more, it must stay covered. Source: definition of the ratio. */
export function water_taken_up_g(dry_g: number, ratio: number): number {
  const dry = above_zero("dry mass", dry_g);
  const times = above_zero("rehydration ratio", ratio);
  if (times < 1)
    throw new LighterThanDry(`The rehydration ratio is ${ratio}: it cannot be below 1, water only adds.`);
  return dry * (times - 1);
}

/** Dried grams that stand for fresh_g of fresh mushrooms, by the dry-down ratio: what a recipe for fresh ones needs. The heavier end belongs to the lowest ratio. */
export function dry_g_for_fresh(fresh_g: number, ratio: Estimate): Estimate {
  const fresh = above_zero("fresh mass", fresh_g);
  const by = usable("dry-down ratio", ratio);
  return { ...by, value: fresh / by.value, low: fresh / by.high, high: fresh / by.low };
}

/** Fresh grams that dry_g of dried mushrooms came from, by the dry-down ratio: what a jar stands for. */
export function fresh_g_for_dry(dry_g: number, ratio: Estimate): Estimate {
  const dry = above_zero("dry mass", dry_g);
  const by = usable("dry-down ratio", ratio);
  return { ...by, value: dry * by.value, low: dry * by.low, high: dry * by.high };
}
