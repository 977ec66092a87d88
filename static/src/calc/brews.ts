/** How a grower's notes of an extract are read by its calculation. Validity and errors: as harvestlog/calc/brews.py, on the same examples. */
import { FRESH_WATER_PCT } from "./estimates";
import type { TwoStage } from "./extracts";

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
