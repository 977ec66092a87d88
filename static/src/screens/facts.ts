/** What the catalogue says of a block's species, as the screens want it. */
import { CATALOGUE, type Fact, type Species } from "../records/catalogue";
import type { BlockView } from "../records/farm_view";

export function speciesOf(view: BlockView): Species | undefined {
  return CATALOGUE.species.get(view.variety?.fields.species ?? "");
}

/** Sources differ, so the widest span counts: nothing is called due before the earliest, or late before the latest. */
export function daysOf(view: BlockView) {
  const facts = speciesOf(view)?.facts ?? {};
  return { pins: span(facts.days_pin_to_harvest), between: span(facts.days_between_flushes) };
}

/** Widest span of what is said; null where no end can be read. */
export function span(facts: readonly Fact[] = []): readonly [low: number, high: number] | null {
  const [low, high] = [least(facts), most(facts)];
  return low === null && high === null ? null : [low ?? (high as number), high ?? (low as number)];
}

function least(facts: readonly Fact[] = []): number | null {
  const ends = facts.map(({ low }) => low).filter((end) => end !== null);
  return ends.length > 0 ? Math.min(...ends) : null;
}

function most(facts: readonly Fact[] = []): number | null {
  const ends = facts.map(({ high }) => high).filter((end) => end !== null);
  return ends.length > 0 ? Math.max(...ends) : null;
}
