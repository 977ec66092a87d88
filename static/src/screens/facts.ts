/** What the catalogue says of a block's species, as the screens want it. */
import { CATALOGUE, type Fact, type Species } from "../records/catalogue";
import type { BlockView } from "../records/farm_view";
import type { Pace } from "../records/today";

export function speciesOf(view: BlockView): Species | undefined {
  return CATALOGUE.species.get(view.variety?.fields.species ?? "");
}

/** Sources differ, so the widest span counts: nothing is called due before the earliest, or late before the latest. */
export function paceOf(view: BlockView): Pace {
  const facts = speciesOf(view)?.facts ?? {};
  return {
    pinToHarvestLow: least(facts.days_pin_to_harvest),
    betweenFlushesHigh: most(facts.days_between_flushes),
  };
}

function least(facts: readonly Fact[] = []): number | null {
  const ends = facts.map(({ low }) => low).filter((end) => end !== null);
  return ends.length > 0 ? Math.min(...ends) : null;
}

function most(facts: readonly Fact[] = []): number | null {
  const ends = facts.map(({ high }) => high).filter((end) => end !== null);
  return ends.length > 0 ? Math.max(...ends) : null;
}
