/** The strength of a two-stage extract, spirit first and then water; what it takes of spirit and water is `spirit`'s. Validity and errors: as harvestlog/calc/extracts.py, on the same examples. */
import { above_zero, moisture_range, zero_or_more } from "./acceptable";
import { RangeUpsideDown, Unacceptable } from "./errors";
import { type Estimate, FRESH_WATER_PCT, plain, sum } from "./estimates";
import { density_kg_m3, type Liquid, mix, spirit_for, water_for } from "./spirit";

export { FRESH_WATER_PCT } from "./estimates";
export * from "./spirit";

// What makers usually bottle at: a setting, not a rule (common practice, no source).
export const USUAL_PCT_VOL = [25, 30] as const;
// Liquid that stays in pressed mushrooms, in mL per gram of their dry matter (our assumption, no source).
export const HELD_ML_PER_G = [1, 3] as const;
// Share of its alcohol that stays through 2½ hours and 30 minutes of simmering: USDA Table of Nutrient Retention
// Factors, Release 6 (2007), as quoted; measured on food in a pan, not on mushrooms.
export const KEPT_SHARE = [0.05, 0.35] as const;
const A_DRIP = 0.01; // of the liquid comes off even where the mushrooms are taken to hold all of it
const JUG_SHARE = 0.02; // a kitchen jug may be out by so much before it is asked back (our rule)

type Ends = readonly [low: number, high: number];

/** Mushrooms that would hold all of the spirit. */
export class NothingToStrain extends Unacceptable {
  override name = "NothingToStrain";
}

/** More strained off than went in. */
export class StrainedAboveSteeped extends Unacceptable {
  override name = "StrainedAboveSteeped";
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
