/** What a block may still give, and whether another soak is worth its space. Its words come with its arithmetic. */
import type { BlockView } from "../../records/farm_view";
import { comingOf, foreseen } from "../coming";

export function StillToCome({ view }: { view: BlockView }) {
  const Said = foreseen.value?.StillToComeSaid;
  const coming = comingOf(view);
  return Said && coming && <Said view={view} coming={coming} />;
}
