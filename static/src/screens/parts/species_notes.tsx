/** What is said of the species: its words come with the rooms, the caution where none is noted stands at once. */
import type { BlockView } from "../../records/farm_view";
import { foreseen } from "../coming";
import { speciesOf } from "../facts";

export function SpeciesNotes({ view }: { view: BlockView }) {
  const Said = foreseen.value?.SpeciesNotesSaid;
  const species = speciesOf(view);
  if (species) return Said ? <Said view={view} species={species} /> : null;
  return (
    <p class="care">
      This variety has no species noted. Eat only what the block was sold as; when in doubt, throw it out.
    </p>
  );
}
