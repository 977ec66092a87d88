/** What is left in a jar, and how much fresh it stands for. Validity and errors: as harvestlog/calc/jars.py, on the same examples. */
import { above_zero, number, zero_or_more } from "./acceptable";
import { type Estimate, sum } from "./estimates";
import { fresh_g_for_dry } from "./rehydration";

/** Grams left of dry_g after the takings, rounded to 0.001 g; below 0 where two phones took from it offline. */
export function jar_left_g(dry_g: number, takings_g: readonly number[]): number {
  const taken = sum(takings_g.map((grams) => zero_or_more("mass taken", grams)));
  return Math.floor((above_zero("dry mass of the jar", dry_g) - taken) * 1000 + 0.5) / 1000;
}

/** Fresh grams that so much dried stands for, by the dry-down ratio; null where nothing is left. */
export function fresh_equivalent(dry_g: number, ratio: Estimate): Estimate | null {
  const left = number("dry mass", dry_g);
  return left > 0 ? fresh_g_for_dry(left, ratio) : null;
}
