/** What is still to come, for the screens of the shed: they stand before its arithmetic has been fetched. */
import type { BlockView } from "../records/farm_view";
import type { KeepingView } from "../records/keeping_view";
import type { Pace } from "../records/today";
import type { KeepingDue } from "./due";
import { daysOf } from "./facts";
import type { Coming } from "./foresight";
import { lazily } from "./rooms";

const { part: foresight } = lazily(() => import("./foresight"));
/** Its words; null until they are here. */
export const { part: foreseen } = lazily(() => import("./foreseen"));

/** null for a block that is over, or while nothing can be worked out. */
export function comingOf(view: BlockView): Coming | null {
  return foresight.value?.comingOf(view) ?? null;
}

/** What Today goes by. */
export function paceOf(view: BlockView): Pace {
  const { pins, between } = daysOf(view);
  const lookFrom = foresight.value?.lookFrom(view, pins) ?? null;
  const [low = null, high = null] = pins ?? [];
  return { pinToHarvestLow: low, pinToHarvestHigh: high, betweenFlushesHigh: between?.[1] ?? null, lookFrom };
}

/** What of the kept crop needs a hand today. */
export function keptDue(keeping: KeepingView, now: number): readonly KeepingDue[] {
  return foresight.value?.keepingDue(keeping, now) ?? [];
}
