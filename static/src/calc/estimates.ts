/** A figure with its interval, and how published figures give way to the farm's own. Validity and errors: as harvestlog/calc/estimates.py, on the same examples. */
import { above_zero } from "./acceptable";
import { RangeUpsideDown } from "./errors";

const NINE_OF_TEN = 1.6448536269514722; // half width, in standard deviations, of the middle 90 % of a normal distribution

// Fresh water in % by catalogue key. SR: USDA National Nutrient Database for Standard Reference. FDC: USDA FoodData
// Central, Foundation Foods, where water was derived: 100 less protein, fat and carbohydrate, less 0.75 for ash.
export const PUBLISHED_WATER: Readonly<Record<string, readonly [water_pct: number, source: string]>> = {
  "pleurotus-ostreatus": [89.18, "SR, NDB 11987"],
  "pleurotus-eryngii": [88.03, "FDC 2003599, derived"],
  "hericium-erinaceus": [88.9, "FDC 1999626, derived"],
  "lentinula-edodes": [89.74, "SR, NDB 11238"],
  "flammulina-filiformis": [88.34, "SR, NDB 11950 (enoki)"],
  "hypsizygus-marmoreus": [89.86, "FDC (beech; its number not seen), derived"],
  "grifola-frondosa": [90.37, "SR, NDB 11993"],
  "agaricus-bisporus": [92.45, "SR, NDB 11260"],
};
// Standard deviations of the logarithm of published dry matter, and the mean: where from stands in estimates.py.
export const SPREAD_OF_ONE_KIND = 0.13;
export const OTHER_KINDS_WATER_PCT = 90.3;
export const SPREAD_OF_OTHER_KINDS = 0.23;
export const FINAL_WATER_PCT = [3, 10] as const; // crisp-dry (common practice, no source)
// Tables lie from 88 to 93 (USDA Standard Reference); mushrooms that stood in dry air hold less (our assumption).
export const FRESH_WATER_PCT = [85, 93] as const;

/** The likeliest `value`, the ends of its 90 % interval, how many of the farm's own batches it rests on, and in words on what. */
export interface Estimate {
  value: number;
  low: number;
  high: number;
  n: number;
  basis: string;
}

/** What is published of a kind before any run of one's own: fresh water in %, how far figures for it lie apart (in log dry matter), the range its final water, in %, is taken to lie in, the words for all this, and its source. */
export interface DryDownPrior {
  fresh_water_pct: number;
  fresh_spread: number;
  final_low_pct: number;
  final_high_pct: number;
  basis: string;
  source: string;
}

/** The published water content of a species, by catalogue key; that of cultivated mushrooms at large for any other. Reishi and other woody kinds hold less water than any of these. */
export function published_prior(species: string): DryDownPrior {
  const [final_low_pct, final_high_pct] = FINAL_WATER_PCT;
  const known = Object.hasOwn(PUBLISHED_WATER, species) ? PUBLISHED_WATER[species] : undefined;
  const [fresh_water_pct, source] = known ?? [OTHER_KINDS_WATER_PCT, "all published kinds together"];
  return {
    fresh_water_pct,
    fresh_spread: known ? SPREAD_OF_ONE_KIND : SPREAD_OF_OTHER_KINDS,
    final_low_pct,
    final_high_pct,
    basis: known ? "published water content" : "published water content of other kinds",
    source,
  };
}

/** What is expected of log figures before any of one's own: `centre`; `between`, how far farms' typical figures lie apart; `within`, how far one farm's batches do (both standard deviations); `worth`, how many batches' evidence on the latter it counts as. */
export interface Expected {
  centre: number;
  between: number;
  within: number;
  worth: number;
}

/** Centre and half width of the 90 % interval for the NEXT batch's log figure. The expected one's share is within² / (within² + n between²); how far one's own batches lie apart is learnt too. Source: normal-normal shrinkage, any textbook of Bayesian statistics. */
export function shrunk(logs: readonly number[], expected: Expected): [centre: number, half_width: number] {
  const n = logs.length;
  const mean = n > 0 ? sum(logs) / n : expected.centre;
  const freedom = expected.worth + Math.max(n - 1, 0);
  const apart = sum(logs.map((log) => (log - mean) ** 2));
  const within2 = (expected.worth * expected.within ** 2 + apart) / freedom;
  const between2 = expected.between ** 2;
  const own_share = (n * between2) / (n * between2 + within2);
  const centre = own_share * mean + (1 - own_share) * expected.centre;
  const variance = between2 * (1 - own_share) + within2;
  return [centre, student_half_width(freedom * (variance / within2) ** 2) * Math.sqrt(variance)];
}

/** Half width of the middle 90 % of Student's distribution, in its scale; from 3 degrees of freedom up, there within 0.002. */
export function student_half_width(freedom: number): number {
  const z = NINE_OF_TEN;
  return (
    z +
    (z ** 3 + z) / (4 * freedom) +
    (5 * z ** 5 + 16 * z ** 3 + 3 * z) / (96 * freedom ** 2) +
    (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / (384 * freedom ** 3) +
    (79 * z ** 9 + 776 * z ** 7 + 1482 * z ** 5 - 1920 * z ** 3 - 945 * z) / (92160 * freedom ** 4)
  );
}

/** The estimate, if all of it is above 0 and in order. */
export function usable(label: string, estimate: Estimate): Estimate {
  const value = above_zero(label, estimate.value);
  const low = above_zero(`lowest ${label}`, estimate.low);
  const high = above_zero(`highest ${label}`, estimate.high);
  if (low > value || value > high)
    throw new RangeUpsideDown(`The ${label} ${value} does not lie from ${low} to ${high}: check the three.`);
  return estimate;
}

/** A figure as people write it: two decimals at most. */
export function plain(value: number): string {
  return value.toFixed(2).replace(/\.?0+$/, "");
}

export function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
