/** Everything that can be said in figures about one block, from its picks and its dry basis. */
import { above_zero, flush_number } from "./acceptable";
import { days_between } from "./days";
import { dry_down_ratio } from "./drying";
import { Unacceptable } from "./errors";
import {
  type Basis,
  block_efficiency,
  type Ends,
  flush_shares,
  production_rate_pct_per_day,
  yield_g_per_kg_wet,
} from "./yields";

/** One pick: `day`, YYYY-MM-DD, as the calendar stood where it was picked. */
export interface Picked {
  day: string;
  wet_g: number;
  flush: number;
  dry_g?: number | null;
}

/** One block with its picks: `received` on delivery, `opened` where that was noted, `ended` once spent or discarded. */
export interface Grown {
  variety: string;
  basis: Basis;
  wet_g: number | null;
  received: string | null;
  opened: string | null;
  ended: boolean;
  contaminated: boolean;
  picks: readonly Picked[];
}

/** Fresh over dried mass of the `n` picks that have both. */
export interface DryDown {
  ratio: number;
  wet_g: number;
  dry_g: number;
  n: number;
}

/**
 * null always means "cannot be said", never zero. `troubles` are sentences about figures that had to be left out.
 * Days and the production rate count from `day_zero`; `day_zero_is` says what that was.
 * The production rate runs to the last pick; its two ends are those of the efficiency.
 */
export interface BlockFigures {
  fresh_g: number;
  grams_by_flush: Record<number, number>;
  share_by_flush: Record<number, number>;
  yield_g_per_kg_wet: number | null;
  efficiency_pct: Ends | null;
  day_zero: string | null;
  day_zero_is: "opened" | "received" | null;
  days_to_first_harvest: number | null;
  production_rate_pct_per_day: Ends | null;
  dry_down: DryDown | null;
  troubles: readonly string[];
}

/** The figures of one block so far: grams, grams per kg wet, %, days; each null where its ground is missing. Throws only for an impossible pick. */
export function block_figures(block: Grown): BlockFigures {
  const troubles: string[] = [];
  const by_flush = sum_by_flush(block.picks);
  const fresh_g = Object.values(by_flush).reduce((sum, grams) => sum + grams, 0);
  const efficiency = or_trouble(troubles, () => block_efficiency(fresh_g, block.basis));
  const day_zero = block.opened ?? block.received;
  const days = days_of_picks(block.picks, day_zero, troubles);
  const wet_g = block.wet_g;
  return {
    fresh_g,
    grams_by_flush: by_flush,
    share_by_flush: fresh_g > 0 ? flush_shares(by_flush) : {},
    yield_g_per_kg_wet:
      wet_g === null ? null : or_trouble(troubles, () => yield_g_per_kg_wet(fresh_g, wet_g)),
    efficiency_pct: efficiency,
    day_zero,
    day_zero_is: block.opened ? "opened" : block.received ? "received" : null,
    days_to_first_harvest: days.length > 0 ? Math.min(...days) : null,
    production_rate_pct_per_day: rate(efficiency, Math.max(0, ...days)),
    dry_down: dry_down(block.picks, troubles),
    troubles,
  };
}

function sum_by_flush(picks: readonly Picked[]): Record<number, number> {
  const grams: Record<number, number> = {};
  for (const pick of picks) {
    const flush = flush_number(pick.flush);
    grams[flush] = (grams[flush] ?? 0) + above_zero("wet mass of a pick", pick.wet_g);
  }
  return grams;
}

function days_of_picks(picks: readonly Picked[], day_zero: string | null, troubles: string[]): number[] {
  if (day_zero === null) return [];
  const days = picks.map((pick) => days_between(day_zero, pick.day));
  if (days.every((day) => day >= 0)) return days;
  troubles.push(`A pick is dated before the block's first day, ${day_zero}: check both dates.`);
  return [];
}

function rate(efficiency: Ends | null, days: number): Ends | null {
  if (efficiency === null || days <= 0) return null;
  return [production_rate_pct_per_day(efficiency[0], days), production_rate_pct_per_day(efficiency[1], days)];
}

function dry_down(picks: readonly Picked[], troubles: string[]): DryDown | null {
  const sum = { wet_g: 0, dry_g: 0, n: 0 };
  for (const { wet_g, dry_g } of picks) {
    if (dry_g === null || dry_g === undefined) continue;
    if (or_trouble(troubles, () => dry_down_ratio(wet_g, dry_g)) === null) continue;
    sum.wet_g += wet_g;
    sum.dry_g += dry_g;
    sum.n += 1;
  }
  return sum.n > 0 ? { ratio: dry_down_ratio(sum.wet_g, sum.dry_g), ...sum } : null;
}

function or_trouble<T>(troubles: string[], figure: () => T): T | null {
  try {
    return figure();
  } catch (error) {
    if (!(error instanceof Unacceptable)) throw error;
    troubles.push(error.message);
    return null;
  }
}
