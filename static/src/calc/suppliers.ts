/** The plain history of one supplier's blocks: what came, what it gave, what is still growing. */
import { type BlockFigures, block_figures, type Grown } from "./figures";

/**
 * Under so many finished blocks no median: what fails is finished first, so the first to finish are the poorest, and
 * one more block moves it from end to end. Our own choice, no source; the comparison asks as many of both suppliers.
 */
export const FEWEST_FINISHED = 3;

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
 * both yields. Both yields are null, too, under FEWEST_FINISHED such blocks, and where the middle block
 * failed while others grow. gave_g_per_kg_wet, so_far_g_per_kg_wet: of each weighed block that gave, finished or still growing,
 * the least first. no_harvest_yet are unfinished and without a pick. days_unusable have a pick dated before the
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
  gave_g_per_kg_wet: number[];
  so_far_g_per_kg_wet: number[];
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
  const growing = grown.length > ended.length;
  const per_kg = known(ended.map((figures) => figures.yield_g_per_kg_wet));
  return {
    received: grown.length,
    unfinished: grown.length - ended.length,
    finished: ended.length,
    failed: ended.filter((figures) => figures.fresh_g === 0).length,
    contaminated: blocks.filter((block) => block.contaminated).length,
    yield_g_per_kg_wet: middle_of(per_kg, per_kg, per_kg, growing),
    efficiency_pct: efficiency(ended, growing),
    gave_g_per_kg_wet: given(ended),
    so_far_g_per_kg_wet: given(grown.filter(({ block }) => !block.ended).map(({ figures }) => figures)),
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

function efficiency(ended: readonly BlockFigures[], growing: boolean): Spread | null {
  const ranges = known(ended.map((figures) => figures.efficiency_pct));
  return middle_of(
    ranges.map(([low, high]) => (low + high) / 2),
    ranges.map(([low]) => low),
    ranges.map(([, high]) => high),
    growing,
  );
}

function given(blocks: readonly BlockFigures[]): number[] {
  const gave = blocks.filter(({ fresh_g }) => fresh_g > 0);
  return known(gave.map((figures) => figures.yield_g_per_kg_wet)).sort((a, b) => a - b);
}

/**
 * The spread over finished blocks; null under FEWEST_FINISHED, and where the middle one failed while others grow: what
 * fails is over before what gives, and such a 0 would be taken for a finding.
 */
function middle_of(
  middles: readonly number[],
  lows: readonly number[],
  highs: readonly number[],
  growing: boolean,
): Spread | null {
  if (middles.length < FEWEST_FINISHED || (growing && median(middles) === 0)) return null;
  return spread(middles, lows, highs);
}

/** What stands in place of a median yield that cannot be given yet; "" where there is one, or no block at all. */
export function early_words(history: SupplierHistory): string {
  const { failed, gave_g_per_kg_wet: gave, so_far_g_per_kg_wet: so_far, no_harvest_yet: waiting } = history;
  if (history.yield_g_per_kg_wet || history.received === 0) return "";
  const unweighed = history.finished - failed - gave.length;
  const giving = history.unfinished - waiting;
  const still = so_far.length > 0 ? ` (${between(so_far)} g per kg so far)` : "";
  const counts = [
    failed > 0 && `${failed} failed`,
    unweighed > 0 && `${unweighed} finished without a wet mass`,
    giving > 0 && `${giving} still giving${still}`,
    waiting > 0 && `${waiting} not picked yet`,
  ];
  const finished = gave.length > 0 && `finished so far: ${listed(gave)} g per kg`;
  const said = [finished, counts.filter(Boolean).join(", ")].filter(Boolean).join("; ");
  return `${said}: ${why(history)}`;
}

function why({ finished, failed, unfinished }: SupplierHistory): string {
  if (unfinished > 0) return "too early to say";
  return finished === failed && failed >= FEWEST_FINISHED ? "none gave anything" : "too few to say";
}

function listed(values: readonly number[]): string {
  const shown = values.map(whole);
  return [shown.slice(0, -1).join(", "), shown.at(-1)].filter(Boolean).join(" and ");
}

function between(values: readonly number[]): string {
  const [low, high] = [whole(values[0] ?? 0), whole(values.at(-1) ?? 0)];
  return low === high ? low : `${low} to ${high}`;
}

/** A half goes up, here as on the server. */
function whole(value: number): string {
  return `${Math.floor(value + 0.5)}`;
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
