/** What is still to come of each block: the phone's records through the forecast, kept for the day they were asked on. */

import { due } from "../calc/due";
import {
  type AnotherSoak,
  type Crop,
  crop,
  type NextFlush,
  next_flush,
  worth_another_soak,
} from "../calc/forecast";
import { blockFacts, type PinDays } from "../records/due";
import type { BlockView } from "../records/farm_view";
import { dayOf, localDay } from "./dates";
import { dayOfMs } from "./due";
import { farm, grownOf, hasEnded, now, standingOf } from "./here";
import { usualOf } from "./usual";

export { keepingDue } from "./due";

export interface Coming {
  day: string;
  /** since when pins or caps of the next flush stand, in ms; null while none do */
  pins: number | null;
  next: NextFlush;
  soak: AnotherSoak | null;
}

const crops = new WeakMap<BlockView, { day: string; ended: boolean; pins: number | null; crop: Crop }>();
// Another block's pick moves this one's forecast: kept only as long as the whole farm stays as it is.
const known = new WeakMap<object, Map<string, Coming>>();

/** null for a block that is over or contaminated, or whose records make no crop. */
export function comingOf(view: BlockView): Coming | null {
  const { pins, contaminated } = standingOf(view);
  if (hasEnded(view) || contaminated !== null) return null;
  const day = localDay(new Date(now.value));
  const blocks = farm.value.block;
  const kept = known.get(blocks) ?? new Map<string, Coming>();
  known.set(blocks, kept);
  const found = kept.get(view.id);
  if (found?.day === day && found.pins === pins) return found;
  const made = forecast(view, day);
  if (made) kept.set(view.id, made);
  return made;
}

function forecast(view: BlockView, day: string): Coming | null {
  const own = cropOf(view, day);
  if (!own) return null;
  const alike = [...farm.value.block.values()].filter(
    (each) => each !== view && each.fields.variety === view.fields.variety,
  );
  const others = alike.flatMap((each) => cropOf(each, day) ?? []);
  const usual = usualOf(view);
  const { pins } = standingOf(view);
  return { day, pins, next: next_flush(own, others, usual), soak: worth_another_soak(own, others, usual) };
}

/** When to look for a resting block's pins, in ms, worked out as for the calendar; null where none are expected. */
export function lookFrom(view: BlockView, pins: PinDays): number | null {
  const next = standingOf(view).state === "resting" ? comingOf(view)?.next : null;
  if (!next?.first_day || next.chance_of_nothing === null) return null;
  const expected = { first_day: next.first_day, chance_of_nothing: next.chance_of_nothing };
  const dues = due([blockFacts(view, pins, expected)], now.value, dayOfMs);
  const look = dues.find(({ kind }) => kind === "look_for_pins");
  return look ? Date.parse(`${look.day}T00:00:00`) : null;
}

/** null where a pick is impossible: its block's page says so. */
function cropOf(view: BlockView, day: string): Crop | null {
  const ended = hasEnded(view);
  const { pins } = standingOf(view);
  const kept = crops.get(view);
  if (kept?.day === day && kept.ended === ended && kept.pins === pins) return kept.crop;
  const out = view.happenings.flatMap(({ fields: { what, until } }) =>
    what === "soaked" && until !== null ? [dayOf(until)] : [],
  );
  try {
    const made = crop(grownOf(view), day, out.sort(), pins === null ? null : dayOfMs(pins));
    crops.set(view, { day, ended, pins, crop: made });
    return made;
  } catch {
    return null;
  }
}
