/** What is usual of a species' flushes, as the forecast takes it. */
import { type FlushPrior, flush_prior } from "../calc/forecast";
import type { BlockView } from "../records/farm_view";
import { span, speciesOf } from "./facts";

/** What is usual of a block's flushes before the farm has any of its own. */
export function usualOf(view: BlockView): FlushPrior {
  const facts = speciesOf(view)?.facts ?? {};
  return flush_prior(
    span(facts.days_opening_to_first_crop),
    span(facts.days_pin_to_harvest),
    span(facts.days_between_flushes),
  );
}
