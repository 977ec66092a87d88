/** What a pick dries down to, when it has stopped losing water, and whose the dried grams of a mixed load are. Validity and errors: as harvestlog/calc/drying.py, on the same examples. */
import { above_zero, moisture, moisture_range, number, result } from "./acceptable";
import { DryAboveWet, NothingPicked, Unacceptable, WetterThanFresh } from "./errors";
import { type DryDownPrior, type Estimate, plain, shrunk, sum } from "./estimates";

// Dry over fresh outside these is worth a second look, never a refusal (common practice, no source).
// Fresh mushrooms of the trade hold 88 to 93 % water (USDA Standard Reference, NDB 11238, 11260, 11950, 11987, 11993).
export const DRY_SHARE_LOW = 0.05;
export const DRY_SHARE_HIGH = 0.2;

// How far the runs of one farm lie apart before it has runs of its own, in log ratio; worth four runs' evidence. Our
// assumption: single bunches lay 6 to 15 % apart in dry matter (AMB Express 8, 10.1186/s13568-018-0664-6, table 4).
export const RUN_TO_RUN = 0.08;
export const RUN_TO_RUN_WORTH = 4;
export const PUBLISHED_FADES = 3; // from so many own runs on, the published share is about a tenth and no longer named

// Constant weight (common practice, no source).
export const STEADY_SHARE = 0.005; // a loss of half a percent of its mass, between two weighings, counts as none
export const DRIED_AGAIN_MIN = 30;
export const COARSE_SHARE = 0.02; // a step above this share of the load hides the last of the drying

/** How many grams of fresh mushrooms went into one gram of dried ones. Source: definition. */
export function dry_down_ratio(wet_g: number, dry_g: number): number {
  const wet = above_zero("wet mass", wet_g);
  const dry = above_zero("dry mass", dry_g);
  if (dry > wet)
    throw new DryAboveWet(
      `The dry mass, ${dry} g, is above the wet mass, ${wet} g: check both weights, they may be swapped.`,
    );
  return result("dry-down ratio", wet / dry);
}

/** Dry-down ratio expected from the water content before and after drying, each in % of the mass it is in. Source: the dry matter stays the same. It cannot be turned round: no weight tells the final water. */
export function dry_down_from_water(fresh_water_pct: number, final_water_pct: number): number {
  const fresh = moisture("fresh water content", fresh_water_pct);
  const final = moisture("final water content", final_water_pct);
  if (final > fresh)
    throw new WetterThanFresh(
      `The final water content, ${final} %, is above the fresh one, ${fresh} %: swap them.`,
    );
  return result("dry-down ratio", (100 - final) / (100 - fresh));
}

/** Whether the dried mass is 5 to 20 % of the fresh one; otherwise ask "check this weight?". Source: common practice, no source. */
export function plausible_dry_share(wet_g: number, dry_g: number): boolean {
  const wet = above_zero("wet mass", wet_g);
  const share = result("dry share", above_zero("dry mass", dry_g) / wet);
  return share >= DRY_SHARE_LOW && share <= DRY_SHARE_HIGH;
}

/** The dry-down ratio of the NEXT run, with a 90 % interval, from own runs [wet_g, dry_g] of one kind and method. Shrinks, on the log scale, from the published water content to the mean of the runs; the unknown final water widens it; never below 1. */
export function estimate_dry_down(
  history: readonly (readonly [wet_g: number, dry_g: number])[],
  prior: DryDownPrior,
): Estimate {
  return estimate_from_logs(
    history.map(([wet, dry]) => Math.log(dry_down_ratio(wet, dry))),
    prior,
  );
}

/** As estimate_dry_down, from the logarithms of the runs' dry-down ratios, for those who ask often of the same runs. */
export function estimate_from_logs(logs: readonly number[], prior: DryDownPrior): Estimate {
  const [final_low, final_high] = moisture_range(prior.final_low_pct, prior.final_high_pct);
  const driest = Math.log(dry_down_from_water(prior.fresh_water_pct, final_low));
  const dampest = Math.log(dry_down_from_water(prior.fresh_water_pct, final_high));
  const spread = above_zero("spread of the published water content", prior.fresh_spread);
  const expected = {
    centre: (driest + dampest) / 2,
    between: Math.hypot(spread, (driest - dampest) / Math.sqrt(12)), // sd of an even spread over the range
    within: RUN_TO_RUN,
    worth: RUN_TO_RUN_WORTH,
  };
  const [centre, half] = shrunk(logs, expected);
  const ratio = (log: number): number => Math.max(1, Math.exp(log));
  return {
    value: ratio(centre),
    low: ratio(centre - half),
    high: ratio(centre + half),
    n: logs.length,
    basis: basis(logs.length, prior.basis),
  };
}

function basis(n: number, published: string): string {
  if (n === 0) return `${published}, none of yours yet`;
  const own = n === 1 ? "your 1 batch" : `your ${n} batches`;
  return n < PUBLISHED_FADES ? `${own} and ${published}` : own;
}

/** A load that weighs more than it did although it was dried on. */
export class WeightRises extends Unacceptable {
  override name = "WeightRises";
}

/** Times that are not one for each weighing, each later than the one before. */
export class TimesOutOfOrder extends Unacceptable {
  override name = "TimesOutOfOrder";
}

/** What the weighings say, in a word and in a sentence; never that the load is dry enough to seal. `lost_g`: since the weighing it is held against, null without one. `rose`: weighings, counted from 0, that stood above the one before by more than the tolerance. */
export interface Verdict {
  verdict: "weigh_again" | "too_soon" | "scale_too_coarse" | "losing" | "constant";
  lost_g: number | null;
  tolerance_g: number;
  rose: readonly number[];
  says: string;
}

const WEIGH_AGAIN = `Weigh the load, dry it again for ${DRIED_AGAIN_MIN} minutes or more, cool it, and weigh it again.`;

/** Whether a load lost no more than its tolerance between the last two of its weighings, in grams, oldest first. The tolerance is the scale's step or 0.5 % of the last mass, whichever is more. With times, in minutes, the last weighing is held against the latest one at least 30 minutes older. Source: weigh, dry again, weigh; common practice, no source. */
export function constant_weight(
  weighings: readonly number[],
  step_g: number,
  times_min: readonly number[] | null = null,
): Verdict {
  const step = above_zero("step of the scale", step_g);
  const masses = weighings.map((mass) => above_zero("mass of the load", mass));
  const times = in_order(times_min, masses.length);
  const last = masses.at(-1);
  if (last === undefined)
    return { verdict: "weigh_again", lost_g: null, tolerance_g: step, rose: [], says: WEIGH_AGAIN };
  const tolerance = Math.max(step, STEADY_SHARE * last);
  const rose = masses.flatMap((mass, i) => (mass - (masses[i - 1] ?? mass) > at_most(tolerance) ? [i] : []));
  const before = held_against(masses, times);
  const lost = before === null ? null : before - last;
  const was = Math.min(...masses.slice(-2, -1), before ?? last);
  if (last - was > at_most(tolerance))
    throw new WeightRises(
      `The load weighs ${plain(last)} g, above the ${plain(was)} g it weighed before: weigh it once more, cooled and without the tray. If it has drawn damp from the air, dry it on.`,
    );
  const [verdict, says] = judged(masses.length, lost, last, step, tolerance);
  return { verdict, lost_g: lost, tolerance_g: tolerance, rose, says };
}

function judged(
  n: number,
  lost: number | null,
  last: number,
  step: number,
  tolerance: number,
): [Verdict["verdict"], string] {
  if (lost === null && n === 1) return ["weigh_again", WEIGH_AGAIN];
  if (lost === null)
    return [
      "too_soon",
      `The last weighings are less than ${DRIED_AGAIN_MIN} minutes apart: dry on, then weigh again.`,
    ];
  if (lost > at_most(tolerance))
    return [
      "losing",
      `It lost ${plain(lost)} g since the weighing before: dry it again, cool it, weigh it again.`,
    ];
  if (step > COARSE_SHARE * last)
    return [
      "scale_too_coarse",
      `A scale that counts in ${plain(step)} g cannot show the last of the drying in ${plain(last)} g: weigh on a finer scale, or a bigger load.`,
    ];
  return [
    "constant",
    `It lost ${plain(Math.max(lost, 0))} g, and up to ${plain(tolerance)} g counts as none (one step of the scale or half a percent of the load): constant weight. No weight tells that it is dry enough: cool a piece and see that it snaps.`,
  ];
}

/** The tolerance with room for what 118.1 - 118 is off by in a computer. */
function at_most(tolerance: number): number {
  return tolerance * (1 + 1e-9);
}

/** The weighing before the last one; with times, the latest that left time to dry again in between. */
function held_against(masses: readonly number[], times: readonly number[] | null): number | null {
  const earlier = masses.slice(0, -1);
  if (times === null) return earlier.at(-1) ?? null;
  const latest = (times.at(-1) ?? 0) - DRIED_AGAIN_MIN;
  return earlier.filter((_, i) => (times[i] ?? latest) <= latest).at(-1) ?? null;
}

function in_order(times_min: readonly number[] | null, n: number): number[] | null {
  if (times_min === null) return null;
  const times = times_min.map((time) => number("time of a weighing", time));
  if (times.length !== n)
    throw new TimesOutOfOrder(`There are ${n} weighings and ${times.length} times: give one time for each.`);
  times.slice(1).forEach((time, i) => {
    const before = times[i] ?? time;
    if (time <= before)
      throw new TimesOutOfOrder(
        `A weighing at ${plain(time)} min stands after one at ${plain(before)} min: put them in order.`,
      );
  });
  return times;
}

/** Dried grams of each pick in a mixed load, shared out by wet mass; in whatever order they are added, they sum to exactly dry_g. An allocation, never a weighing: mark it so. Source: our rule; it takes every pick to hold equally much water. */
export function allocate_dry_g(
  wet_by_pick_g: Readonly<Record<string, number>>,
  dry_g: number,
): Record<string, number> {
  const wet = Object.entries(wet_by_pick_g).map(
    ([pick, grams]) => [pick, above_zero("wet mass of a pick", grams)] as const,
  );
  const [first] = wet;
  if (first === undefined)
    throw new NothingPicked("There is no pick in this load: put in the picks that were dried together.");
  const total = result("whole load", sum(wet.map(([, grams]) => grams)));
  dry_down_ratio(total, dry_g);
  // Every share but the largest is cut to a power of two of its own size class: such numbers add up without rounding.
  const grid = 2 ** Math.max(Math.floor(Math.log2(dry_g)) - 40, -1060);
  const dry = new Map(
    wet.map(([pick, grams]) => [pick, Math.floor((dry_g * (grams / total)) / grid) * grid]),
  );
  const [largest] = wet.reduce((most, each) => (each[1] > most[1] ? each : most), first);
  dry.delete(largest);
  const others = sum([...dry.values()]);
  return Object.fromEntries(wet.map(([pick]) => [pick, dry.get(pick) ?? dry_g - others]));
}
