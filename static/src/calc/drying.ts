/** What a pick dries down to. Validity and errors: as harvestlog/calc/drying.py, on the same examples. */
import { above_zero, moisture, result } from "./acceptable";
import { DryAboveWet, WetterThanFresh } from "./errors";

// Dry over fresh outside these is worth a second look, never a refusal (common practice, no source).
// Fresh mushrooms of the trade hold 88 to 93 % water (USDA Standard Reference, NDB 11238, 11260, 11950, 11987, 11993).
export const DRY_SHARE_LOW = 0.05;
export const DRY_SHARE_HIGH = 0.2;

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
