/** Spirit and water: density, strength by volume and by mass, mixing with contraction, diluting one with the other. Validity and errors: as harvestlog/calc/spirit.py, on the same examples. */
import { above_zero, result, zero_or_more } from "./acceptable";
import { temperature } from "./air";
import { Unacceptable } from "./errors";
import { sum } from "./estimates";

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

/** A strength above 100 % by volume, or a mass fraction above 1. */
export class StrengthOutOfRange extends Unacceptable {
  override name = "StrengthOutOfRange";
}

/** A typed strength that cannot be read, or does not say whether it is % by volume or proof. */
export class NotAStrength extends Unacceptable {
  override name = "NotAStrength";
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

/** Strength in % by volume from what is typed: "95 %", "40% vol", "37,5 % abv", "190 proof". A figure alone is asked back, as 80 may be either; above 100 it can only be proof, above 200 neither. Source: our rule. */
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
  throw new NotAStrength(which(typed, written, figure));
}

function which(typed: string, written: string, figure: number): string {
  if (figure > 200) return `"${typed}" is no strength: pure alcohol is 100 % by volume, or 200 proof.`;
  if (figure > 100) return `"${typed}" is above 100 and can only be proof: write ${written} proof.`;
  return `"${typed}" may be % by volume or proof: write ${written} % or ${written} proof.`;
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
