/** Spirit and water by volume and by mass, diluting one with the other, and the strength of a two-stage extract. Validity and errors: as harvestlog/calc/extracts.py, on the same examples. */
import { above_zero, moisture_range, result, zero_or_more } from "./acceptable";
import { temperature } from "./air";
import { RangeUpsideDown, Unacceptable } from "./errors";
import { type Estimate, plain, sum } from "./estimates";

/** Density of ethanol and water in kg/m3 from mass fraction p and u = t - 20 °C: the a stand for p^0, p^1, ...; the b for u, u², ...; row i of c for u^i times p, p², ... */
export interface DensityFormula {
  readonly a: readonly number[];
  readonly b: readonly number[];
  readonly c: readonly (readonly number[])[];
  readonly coldest_c: number;
  readonly hottest_c: number;
}

// International Alcoholometric Tables, OIML R 22 (1975); the same formula stands in Directive 76/766/EEC. Public copies
// differ in C1,1 (...530087 or ...433) and C2,3 (...993 or ...933): below 1e-9 kg/m3, which no figure here shows.
// biome-ignore format: a table
export const OIML_R22: DensityFormula = Object.freeze({
  a: [
    998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388, 306287.4042,
    -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
  ],
  b: [-0.20618513, -0.0052682542, 3.6130013e-05, -3.8957702e-07, 7.169354e-09, -9.9739231e-11],
  c: [
    [0.1693443461530087, -10.46914743455169, 71.96353469546523, -704.7478054272792, 3924.090430035045,
     -12101.64659068747, 22486.46550400788, -26055.62982188164, 18523.73922069467, -7420.201433430137,
     1285.617841998974],
    [-0.0119301300505701, 0.2517399633803461, -2.170575700536993, 13.53034988843029, -50.29988758547014,
     109.635566657757, -142.2753946421155, 108.043594285623, -44.14153236817392, 7.442971530188783],
    [-0.0006802995733503803, 0.01876837790289664, -0.2002561813734156, 1.02299296671922, -2.895696483903638,
     4.810060584300675, -4.672147440794683, 2.458043105903461, -0.5411227621436812],
    [4.075376675622027e-06, -8.76305857347111e-06, 6.515031360099368e-06, -1.51578483698721e-06],
    [-2.788074354782409e-08, 1.345612883493354e-08],
  ],
  coldest_c: -20,
  hottest_c: 40,
});
const SLOPE_AT_20 = OIML_R22.a.map((a, power) => power * a).slice(1); // of the density against p

// What makers usually bottle at: a setting, not a rule (common practice, no source).
export const USUAL_PCT_VOL = [25, 30] as const;
// Tables lie from 88 to 93 (USDA Standard Reference); mushrooms that stood in dry air hold less (our assumption).
export const FRESH_WATER_PCT = [85, 93] as const;
// Liquid that stays in pressed mushrooms, in mL per gram of their dry matter (our assumption, no source).
export const HELD_ML_PER_G = [1, 3] as const;
// Share of its alcohol that stays through 2½ hours and 30 minutes of simmering: USDA Table of Nutrient Retention
// Factors, Release 6 (2007), as quoted; measured on food in a pan, not on mushrooms.
export const KEPT_SHARE = [0.05, 0.35] as const;
const A_DRIP = 0.01; // of the liquid comes off even where the mushrooms are taken to hold all of it
const JUG_SHARE = 0.02; // a kitchen jug may be out by so much before it is asked back (our rule)

const PROOF: ReadonlySet<string> = new Set(["proof", "usproof"]);
const BY_VOLUME: ReadonlySet<string> = new Set([
  "%",
  "%vol",
  "vol%",
  "%abv",
  "abv",
  "%v/v",
  "%alc/vol",
  "%byvolume",
  "percent",
]);

/** Volume in mL and strength in % by volume, both at 20 °C. */
export type Liquid = readonly [volume_ml: number, strength_pct_vol: number];
type Ends = readonly [low: number, high: number];

/** A strength above 100 % by volume, or a mass fraction above 1. */
export class StrengthOutOfRange extends Unacceptable {
  override name = "StrengthOutOfRange";
}

/** A typed strength that cannot be read, or does not say whether it is % by volume or proof. */
export class NotAStrength extends Unacceptable {
  override name = "NotAStrength";
}

/** Mushrooms that would hold all of the spirit. */
export class NothingToStrain extends Unacceptable {
  override name = "NothingToStrain";
}

/** More strained off than went in. */
export class StrainedAboveSteeped extends Unacceptable {
  override name = "StrainedAboveSteeped";
}

/** A strength that cannot be had by adding this water or this spirit. */
export class StrengthOutOfReach extends Unacceptable {
  override name = "StrengthOutOfReach";
}

/** Density of ethanol and water in kg/m3, from the ethanol's share of the mass, 0 to 1, at a temperature from -20 to 40 °C. Source: OIML R 22. */
export function density_kg_m3(mass_fraction: number, temp_c: number): number {
  const p = zero_or_more("mass fraction", mass_fraction);
  if (p > 1) throw new StrengthOutOfRange(`The mass fraction is ${p}: it lies from 0 to 1, all ethanol.`);
  const { a, b, c, coldest_c, hottest_c } = OIML_R22;
  const u = temperature("temperature", temp_c, coldest_c, hottest_c) - 20;
  const crossed = sum(c.map((row, i) => p * polynomial(row, p) * u ** (i + 1)));
  return polynomial(a, p) + u * polynomial(b, u) + crossed;
}

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((value, coefficient) => value * x + coefficient, 0);
}

/** Strength in % by volume at 20 °C, from the ethanol's share of the mass, 0 to 1. Source: volume of the ethanol alone over volume of the whole. */
export function strength_from_mass_fraction(mass_fraction: number): number {
  return (100 * mass_fraction * density_kg_m3(mass_fraction, 20)) / density_kg_m3(1, 20);
}

/** The ethanol's share of the mass, 0 to 1, from the strength in % by volume at 20 °C. Source: strength_from_mass_fraction, solved by Newton's steps; eight are twice what any strength takes. */
export function mass_fraction_from_strength(strength_pct_vol: number): number {
  const wanted = (strength("strength", strength_pct_vol) / 100) * density_kg_m3(1, 20);
  let p = strength_pct_vol / 100;
  for (let step = 0; step < 8; step += 1) {
    const density = polynomial(OIML_R22.a, p);
    p -= (p * density - wanted) / (density + p * polynomial(SLOPE_AT_20, p));
  }
  return Math.min(1, Math.max(0, p));
}

export function strength(label: string, value_pct_vol: unknown): number {
  const checked = zero_or_more(label, value_pct_vol);
  if (checked > 100) {
    const proof = checked <= 200 ? ` If the label says proof, write ${checked} proof.` : "";
    throw new StrengthOutOfRange(`The ${label} is ${checked} %: it cannot be above 100 % by volume.${proof}`);
  }
  return checked;
}

/** Strength in % by volume from US proof: half of it. The former British proof is another scale. Source: 27 CFR parts 5 and 19 (wording from memory). */
export function strength_from_proof(proof: number): number {
  const checked = zero_or_more("proof", proof);
  if (checked > 200)
    throw new StrengthOutOfRange(`The proof is ${checked}: 200 proof is pure alcohol, it cannot be above.`);
  return checked / 2;
}

/** Strength in % by volume from what is typed: "95 %", "40% vol", "37,5 % abv", "190 proof". A figure alone is asked back, as 80 may be either. Source: our rule. */
export function read_strength(typed: string): number {
  const found = /^([0-9]{1,3}(?:[.,][0-9]{1,3})?)([^0-9]*)$/.exec(typed.trim().toLowerCase());
  const [, written, rest] = found ?? [];
  if (written === undefined || rest === undefined)
    throw new NotAStrength(`"${typed}" is no strength: write it like 40 % or 80 proof.`);
  const figure = Number(written.replace(",", "."));
  const unit = rest.replace(/[\s.]/g, "");
  if (PROOF.has(unit)) return strength_from_proof(figure);
  if (BY_VOLUME.has(unit)) return strength("strength", figure);
  if (unit !== "")
    throw new NotAStrength(`"${typed}" is no strength known here: write it in % by volume or in US proof.`);
  throw new NotAStrength(`"${typed}" may be % by volume or proof: write ${written} % or ${written} proof.`);
}

/** Volume in mL and strength in % by volume of parts poured together, all at 20 °C. Masses add, volumes do not: spirit and water shrink by up to 3.6 %. For spirit and water, nothing dissolved. Source: OIML R 22. */
export function mix(parts: readonly Liquid[]): Liquid {
  const weighed_parts = parts.map(([volume, pct]) => weighed(volume, pct));
  const mass = above_zero("volume of the mix", sum(weighed_parts.map(([grams]) => grams)));
  const fraction = Math.min(1, sum(weighed_parts.map(([grams, share]) => grams * share)) / mass);
  const volume = result("volume of the mix", (1000 * mass) / density_kg_m3(fraction, 20));
  return [volume, strength_from_mass_fraction(fraction)];
}

/** Grams, and the share of ethanol in them. */
function weighed(volume_ml: number, strength_pct_vol: number): [grams: number, fraction: number] {
  const fraction = mass_fraction_from_strength(strength_pct_vol);
  return [(zero_or_more("volume", volume_ml) * density_kg_m3(fraction, 20)) / 1000, fraction];
}

/** Millilitres of water, at 20 °C, that bring volume_ml of spirit down to the target; more than the volumes would say. Source: OIML R 22. */
export function water_for(volume_ml: number, strength_pct_vol: number, target_pct_vol: number): number {
  const target = above_zero("target strength", strength("target strength", target_pct_vol));
  if (strength("strength", strength_pct_vol) < target)
    throw new StrengthOutOfReach(
      `Water cannot take ${strength_pct_vol} % up to ${target_pct_vol} %: give a lower target.`,
    );
  const [grams, fraction] = weighed(volume_ml, strength_pct_vol);
  const wanted = mass_fraction_from_strength(target);
  return result("water", ((grams * Math.max(0, fraction / wanted - 1)) / density_kg_m3(0, 20)) * 1000);
}

/** Millilitres of spirit, at 20 °C, that bring volume_ml of a weaker liquid up to the target; 0 if it is there. Source: OIML R 22. */
export function spirit_for(
  volume_ml: number,
  strength_pct_vol: number,
  spirit_pct_vol: number,
  target_pct_vol: number,
): number {
  const [grams, fraction] = weighed(volume_ml, strength_pct_vol);
  const wanted = mass_fraction_from_strength(target_pct_vol);
  if (fraction >= wanted) return 0;
  const spirit = mass_fraction_from_strength(spirit_pct_vol);
  if (spirit <= wanted)
    throw new StrengthOutOfReach(
      `Spirit of ${spirit_pct_vol} % cannot take it up to ${target_pct_vol} %: take stronger spirit.`,
    );
  const needed = (grams * (wanted - fraction)) / (spirit - wanted);
  return result("spirit", (needed / density_kg_m3(spirit, 20)) * 1000);
}

/** What goes into a two-stage extract, volumes in mL at room temperature: spirit over dried or fresh mushrooms (or both), then the strained water stage. `strained_ml` is what was strained off the spirit, null before. */
export interface TwoStage {
  spirit_ml: number;
  spirit_pct_vol: number;
  water_stage_ml: number;
  dry_g?: number;
  fresh_g?: number;
  strained_ml?: number | null;
  fresh_water_pct?: Ends;
  held_ml_per_g?: Ends;
}

/** Estimates, all of them: the spirit stage with the mushrooms' water in it, what is strained off, the two joined, and what brings that to the setting: spirit up to its lower end, water down to its upper one. low and high are the ends the assumptions allow, no 90 % interval. */
export interface DualExtract {
  steeped_ml: Estimate;
  steeped_pct_vol: Estimate;
  strained_ml: Estimate;
  joined_ml: Estimate;
  joined_pct_vol: Estimate;
  spirit_still_ml: Estimate;
  water_still_ml: Estimate;
  assumptions: readonly string[];
}

/** Expected volumes and strengths of a two-stage extract, and what still brings it to a setting in % by volume; the `assumptions` are sentences to show beside it. Source: OIML R 22 and the mushrooms' own water; each value takes the middle of every assumption. */
export function dual_extract(
  { dry_g = 0, fresh_g = 0, strained_ml = null, ...rest }: TwoStage,
  target_pct_vol: Ends = USUAL_PCT_VOL,
): DualExtract {
  const { fresh_water_pct = FRESH_WATER_PCT, held_ml_per_g = HELD_ML_PER_G } = rest;
  const batch = { ...rest, dry_g, fresh_g, strained_ml, fresh_water_pct, held_ml_per_g };
  above_zero("mass of the mushrooms", zero_or_more("dry mass", dry_g) + zero_or_more("fresh mass", fresh_g));
  const [lowest, highest] = range("target strength", target_pct_vol);
  const waters = moisture_range(...fresh_water_pct);
  const helds = range("liquid held per gram", held_ml_per_g);
  const likely = joined(batch, sum(waters) / 2, sum(helds) / 2, sum(KEPT_SHARE) / 2);
  strained_well(batch, likely, joined(batch, waters[1], helds[0], KEPT_SHARE[0]));
  const outer = waters.flatMap((water) =>
    helds.flatMap((held) => KEPT_SHARE.map((kept) => joined(batch, water, held, kept))),
  );
  const estimate = (of: (each: Case) => number): Estimate => {
    const all = [likely, ...outer].map(of);
    const measured = strained_ml !== null ? "what was strained off" : "what went in";
    const basis = `calculated from ${measured}`;
    return { value: of(likely), low: Math.min(...all), high: Math.max(...all), n: 0, basis };
  };
  return {
    steeped_ml: estimate(({ steeped }) => steeped[0]),
    steeped_pct_vol: estimate(({ steeped }) => steeped[1]),
    strained_ml: estimate((each) => each.strained_ml),
    joined_ml: estimate((each) => each.joined[0]),
    joined_pct_vol: estimate((each) => each.joined[1]),
    spirit_still_ml: estimate((each) => spirit_for(...each.joined, batch.spirit_pct_vol, lowest)),
    water_still_ml: estimate((each) => water_for(...each.joined, Math.min(highest, each.joined[1]))),
    assumptions: assumptions(batch),
  };
}

type Batch = Required<TwoStage>;

interface Case {
  steeped: Liquid;
  strained_ml: number;
  joined: Liquid;
}

/** One case: fresh mushrooms of this water content, so much liquid held, and this share of its alcohol in the water stage. */
function joined(batch: Batch, water_pct: number, held_ml_per_g: number, kept_share: number): Case {
  const own_water_ml = (((batch.fresh_g * water_pct) / 100) * 1000) / density_kg_m3(0, 20);
  const steeped = mix([
    [above_zero("spirit", batch.spirit_ml), batch.spirit_pct_vol],
    [own_water_ml, 0],
  ]);
  const taken_ml = held_ml_per_g * (batch.dry_g + batch.fresh_g * (1 - water_pct / 100));
  const strained_ml =
    batch.strained_ml === null
      ? Math.max(steeped[0] - taken_ml, A_DRIP * steeped[0])
      : above_zero("strained volume", batch.strained_ml);
  const held_ml = Math.max(0, steeped[0] - strained_ml);
  const water_ml = zero_or_more("water stage", batch.water_stage_ml);
  const alcohol_pct = water_ml > 0 ? Math.min(steeped[1], (kept_share * held_ml * steeped[1]) / water_ml) : 0;
  const together = mix([
    [strained_ml, steeped[1]],
    [water_ml, alcohol_pct],
  ]);
  return { steeped, strained_ml, joined: together };
}

function strained_well(batch: Batch, likely: Case, wettest: Case): void {
  const { strained_ml } = batch;
  if (strained_ml === null && likely.strained_ml <= A_DRIP * likely.steeped[0])
    throw new NothingToStrain(
      `So many mushrooms would hold all of the ${plain(likely.steeped[0])} mL: take more spirit, or write down what you strain off.`,
    );
  if (strained_ml !== null && strained_ml > (1 + JUG_SHARE) * wettest.steeped[0])
    throw new StrainedAboveSteeped(
      `The strained volume, ${plain(strained_ml)} mL, is above the ${plain(wettest.steeped[0])} mL that spirit and mushrooms can give: check both volumes.`,
    );
}

function assumptions(batch: Batch): string[] {
  const ends = ([low, high]: Ends, times = 1): string => `${plain(times * low)} to ${plain(times * high)}`;
  return [
    "Calculated for spirit and water at 20 °C: what dissolves out of the mushrooms is not counted.",
    batch.dry_g > 0 && "Dried mushrooms are taken to bring no water.",
    batch.fresh_g > 0 &&
      `Fresh mushrooms are taken to hold ${ends(batch.fresh_water_pct)} % water, all of it in the spirit.`,
    batch.strained_ml === null &&
      `Each gram of dry mushroom is taken to hold back ${ends(batch.held_ml_per_g)} mL: measure what you strain off.`,
    `Of the alcohol held back, ${ends(KEPT_SHARE, 100)} % is taken to stay through the boiling of the water stage.`,
  ].filter((sentence) => sentence !== false);
}

function range(label: string, [low, high]: Ends): [low: number, high: number] {
  const ends: [number, number] = [
    zero_or_more(`lowest ${label}`, low),
    zero_or_more(`highest ${label}`, high),
  ];
  if (ends[0] > ends[1])
    throw new RangeUpsideDown(`The lowest ${label}, ${low}, is above the highest, ${high}: swap them.`);
  return ends;
}
