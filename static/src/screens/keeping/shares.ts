/** What each thing in a load came to when dried: shared out by wet mass, never weighed. Apart from the rest, as a block's story tells it too. */
import { allocate_dry_g } from "../../calc/drying";
import type { DryingView } from "../../records/keeping_view";
import type { Id } from "../../records/types";

/** Each part's share of the dried load, by the part's id: worked out, never weighed. */
export function sharesOf(view: DryingView): { shares: Record<Id, number> } | { trouble: string } | null {
  const { dry_g } = view.fields;
  if (dry_g === null || view.parts.length === 0) return null;
  try {
    const wet = Object.fromEntries(view.parts.map(({ row }) => [row.id, row.fields.wet_g]));
    return { shares: allocate_dry_g(wet, dry_g) };
  } catch (error) {
    return { trouble: wordsOf(error) };
  }
}

export function wordsOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** A pick's dried grams, with how much of it they came from and whether others lay in its loads; null where no load of it is finished. */
export function dried(
  pick: Id,
  loads: Iterable<DryingView>,
): { dry_g: number; wet_g: number; mixed: boolean } | null {
  let [dry_g, wet_g, mixed] = [0, 0, false];
  for (const load of loads) {
    const mine = load.parts.filter(({ row }) => row.fields.pick === pick);
    const found = mine.length > 0 ? sharesOf(load) : null;
    if (!found || !("shares" in found)) continue;
    for (const { row } of mine) {
      dry_g += found.shares[row.id] ?? 0;
      wet_g += row.fields.wet_g;
    }
    mixed ||= mine.length < load.parts.length;
  }
  return wet_g > 0 ? { dry_g, wet_g, mixed } : null;
}
