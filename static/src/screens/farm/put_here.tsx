/** Blocks that now stand at a place: ticked off in one go, each with the note that it was moved. */
import { useState } from "preact/hooks";
import type { BlockView, Standing } from "../../records/farm_view";
import type { Id } from "../../records/types";
import { farm, hasEnded, varietyName } from "../here";
import { Frame } from "../parts/frame";
import { Label } from "../parts/label";
import { Tap } from "../parts/tap";
import { Teach } from "../parts/teach";
import { back } from "../route";
import { keep, once } from "../saving";
import { count } from "../words";
import { moves } from "./moves";

export function PutHere({ place }: { place: Standing<"place"> }) {
  const [chosen, setChosen] = useState<ReadonlySet<Id>>(new Set());
  const blocks = elsewhere(place.id);
  const ticked = blocks.filter(({ id }) => chosen.has(id));
  const turn = (id: Id) =>
    setChosen((now) => new Set(now.has(id) ? [...now].filter((each) => each !== id) : [...now, id]));
  const save = async () => {
    const moved = count(ticked.length, "block");
    const words = `${moved} now at ${place.fields.name}, on this phone.`;
    if (await once(`put ${place.id}`, () => keep(moves(ticked, place.id), words)))
      back(`#/place/${place.id}`);
  };
  return (
    <Frame
      title={`Put blocks at ${place.fields.name}`}
      from={`#/place/${place.id}`}
      acts={
        blocks.length > 0 && (
          <Tap look="main" off={ticked.length === 0} onTap={save}>
            {ticked.length === 0 ? "Tick the blocks" : `Put ${count(ticked.length, "block")} here`}
          </Tap>
        )
      }
    >
      {blocks.length === 0 ? (
        <Nowhere />
      ) : (
        <ul class="putins">
          {blocks.map((view) => (
            <li key={view.id}>
              <Choosing view={view} chosen={chosen.has(view.id)} onTap={() => turn(view.id)} />
            </li>
          ))}
        </ul>
      )}
    </Frame>
  );
}

function Nowhere() {
  if (farm.value.block.size > 0) return <p>Every block that grows stands here already.</p>;
  return (
    <Teach
      words="There are no blocks yet. They come with a delivery."
      act="Write down a delivery"
      to="#/delivery"
    />
  );
}

function Choosing({ view, chosen, onTap }: { view: BlockView; chosen: boolean; onTap: () => void }) {
  return (
    <button type="button" class="putin" aria-pressed={chosen} onClick={onTap}>
      <Label code={view.fields.label} />
      <span class="grow">
        <strong>{varietyName(view)}</strong>
        <span class="small">{view.place ? `now at ${view.place.fields.name}` : "no place noted"}</span>
      </span>
    </button>
  );
}

/** What grows elsewhere: those of no place first, as they are the likeliest, then by place and label. */
function elsewhere(place: Id): BlockView[] {
  const name = (view: BlockView) => view.place?.fields.name ?? "";
  return [...farm.value.block.values()]
    .filter((view) => view.place?.id !== place && !hasEnded(view))
    .sort((a, b) => name(a).localeCompare(name(b)) || (a.fields.label < b.fields.label ? -1 : 1));
}
