/** The plain history of one supplier's blocks: what came, what it gave, what is still growing. */
import { type BlockFigures, block_figures, type Grown } from "./figures";

/** Middle value, lowest, highest, and how many blocks they come from; there is no Spread of no blocks. */
export interface Spread {
  median: number;
  low: number;
  high: number;
  n: number;
}

/**
 * Counts of blocks, and spreads over those blocks that can be counted; null where none can.
 *
 * received = unfinished + finished. failed are those finished that never gave a gram: they count as 0 in
 * both yields. no_harvest_yet are unfinished and without a pick. days_unusable have a pick dated before the
 * block's first day, or no first day at all.
 */
export interface SupplierHistory {
  received: number;
  unfinished: number;
  finished: number;
  failed: number;
  contaminated: number;
  yield_g_per_kg_wet: Spread | null;
  efficiency_pct: Spread | null;
  days_to_first_harvest: Spread | null;
  no_harvest_yet: number;
  days_unusable: number;
}

/**
 * History of one supplier over any mix of varieties: yields in g per kg wet and in %, first harvest in days.
 *
 * Only finished blocks enter a yield: a block still growing would pass for a poor one. The efficiency is the
 * median of the blocks' mid values between the lowest and the highest end. Days count from opening, else from
 * delivery. No fair comparison of suppliers: that needs the same variety and the same time to grow.
 */
export function supplier_history(blocks: readonly Grown[]): SupplierHistory {
  const grown = blocks.map((block) => ({ block, figures: block_figures(block) }));
  const ended = grown.filter(({ block }) => block.ended).map(({ figures }) => figures);
  const picked = grown.filter(({ figures }) => figures.fresh_g > 0);
  const days = known(picked.map(({ figures }) => figures.days_to_first_harvest));
  const per_kg = known(ended.map((figures) => figures.yield_g_per_kg_wet));
  return {
    received: grown.length,
    unfinished: grown.length - ended.length,
    finished: ended.length,
    failed: ended.filter((figures) => figures.fresh_g === 0).length,
    contaminated: blocks.filter((block) => block.contaminated).length,
    yield_g_per_kg_wet: spread(per_kg, per_kg, per_kg),
    efficiency_pct: efficiency(ended),
    days_to_first_harvest: spread(days, days, days),
    no_harvest_yet: grown.filter(({ block, figures }) => !block.ended && figures.fresh_g === 0).length,
    days_unusable: picked.length - days.length,
  };
}

/** The same history for each variety apart, in the order the varieties first came. */
export function history_by_variety(blocks: readonly Grown[]): Map<string, SupplierHistory> {
  const apart = new Map<string, Grown[]>();
  for (const block of blocks) apart.set(block.variety, [...(apart.get(block.variety) ?? []), block]);
  return new Map([...apart].map(([variety, theirs]) => [variety, supplier_history(theirs)]));
}

function efficiency(ended: readonly BlockFigures[]): Spread | null {
  const ranges = known(ended.map((figures) => figures.efficiency_pct));
  return spread(
    ranges.map(([low, high]) => (low + high) / 2),
    ranges.map(([low]) => low),
    ranges.map(([, high]) => high),
  );
}

function spread(
  middles: readonly number[],
  lows: readonly number[],
  highs: readonly number[],
): Spread | null {
  if (middles.length === 0) return null;
  return { median: median(middles), low: Math.min(...lows), high: Math.max(...highs), n: middles.length };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length / 2;
  const around = sorted.slice(Math.ceil(half) - 1, Math.floor(half) + 1);
  return around.reduce((sum, value) => sum + value, 0) / around.length;
}

function known<T>(values: readonly (T | null)[]): T[] {
  return values.filter((value): value is T => value !== null);
}
