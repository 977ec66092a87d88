/** What a block gave, against what went into it. Validity and errors: as harvestlog/calc/yields.py, on the same examples. */
import { above_zero, grams_by_flush, moisture, moisture_range, result, zero_or_more } from "./acceptable";
import { BasisIncomplete, NothingPicked, UnknownBasis } from "./errors";

export type Ends = readonly [low: number, high: number];

/**
 * How the dry mass of a block is known: `kind` says which of the other fields are filled in.
 * stated, oven: dry_g. measured: wet_g and moisture_pct. assumed: wet_g and the two ends of a moisture range.
 */
export interface Basis {
  kind: "none" | "stated" | "oven" | "measured" | "assumed";
  dry_g?: number | null;
  wet_g?: number | null;
  moisture_pct?: number | null;
  moisture_low_pct?: number | null;
  moisture_high_pct?: number | null;
}

/** Dry mass of a block, in grams, from its wet mass in grams and its moisture in % of the wet mass, 0 up to but not at 100. Source: definition of moisture on the wet basis. */
export function dry_substrate_g(wet_g: number, moisture_pct: number): number {
  return (above_zero("wet mass", wet_g) * (100 - moisture("moisture", moisture_pct))) / 100;
}

/** Fresh grams picked, all flushes summed, per 100 g of dry substrate; above 100 % is usual, above 200 % published. Source: the trade's definition, checked against Jatwa et al. 2016, J Pure Appl Microbiol 10(4):2783-2792. */
export function biological_efficiency_pct(fresh_g: number, dry_substrate_g: number): number {
  const fresh = zero_or_more("fresh mass", fresh_g);
  return result("biological efficiency", (100 * fresh) / above_zero("dry substrate", dry_substrate_g));
}

/** Lowest and highest biological efficiency, in %, of a block whose moisture is only assumed; the low end belongs to the lowest moisture. Source: the two definitions above. */
export function biological_efficiency_range_pct(
  fresh_g: number,
  wet_g: number,
  moisture_low_pct: number,
  moisture_high_pct: number,
): Ends {
  const [low, high] = moisture_range(moisture_low_pct, moisture_high_pct);
  return [
    biological_efficiency_pct(fresh_g, dry_substrate_g(wet_g, low)),
    biological_efficiency_pct(fresh_g, dry_substrate_g(wet_g, high)),
  ];
}

/** Fresh grams picked per kilogram of block as it arrived, water included. Source: common practice, no source. */
export function yield_g_per_kg_wet(fresh_g: number, wet_g: number): number {
  const fresh = zero_or_more("fresh mass", fresh_g);
  return result("yield per kilogram", (1000 * fresh) / above_zero("wet mass", wet_g));
}

/** Biological efficiency, in %, per day of growing; whoever shows it says what day zero is. Source: Shen & Royse 2001, Appl Microbiol Biotechnol 57:74. */
export function production_rate_pct_per_day(be_pct: number, days: number): number {
  const efficiency = zero_or_more("biological efficiency", be_pct);
  return result("production rate", efficiency / above_zero("number of days", days));
}

/** Share of each flush in the whole harvest, 0 to 1, from grams by flush number; refused before the first pick. Source: definition. */
export function flush_shares(picks_g_by_flush: Readonly<Record<number, number>>): Record<number, number> {
  const grams = grams_by_flush(picks_g_by_flush);
  const total = result(
    "whole harvest",
    grams.reduce((sum, [, mass]) => sum + mass, 0),
  );
  if (total === 0)
    throw new NothingPicked("All flushes together weigh 0 g: there are no shares before the first pick.");
  return Object.fromEntries(grams.map(([flush, mass]) => [flush, mass / total]));
}

/** Lowest and highest biological efficiency, in %, that a block's dry basis allows; equal ends unless the moisture is assumed, null when there is no basis. */
export function block_efficiency(fresh_g: number, basis: Basis): Ends | null {
  switch (basis.kind) {
    case "none":
      return null;
    case "stated":
    case "oven":
      return both(biological_efficiency_pct(fresh_g, there(basis, "dry_g")));
    case "measured": {
      const dry = dry_substrate_g(there(basis, "wet_g"), there(basis, "moisture_pct"));
      return both(biological_efficiency_pct(fresh_g, dry));
    }
    case "assumed":
      return biological_efficiency_range_pct(
        fresh_g,
        there(basis, "wet_g"),
        there(basis, "moisture_low_pct"),
        there(basis, "moisture_high_pct"),
      );
    default:
      throw new UnknownBasis(`"${basis.kind}" is no dry basis: use none, stated, oven, measured or assumed.`);
  }
}

function both(value: number): Ends {
  return [value, value];
}

function there(basis: Basis, field: Exclude<keyof Basis, "kind">): number {
  const value = basis[field];
  if (value === null || value === undefined)
    throw new BasisIncomplete(`The dry basis "${basis.kind}" needs ${field}: fill it in, or choose "none".`);
  return value;
}
