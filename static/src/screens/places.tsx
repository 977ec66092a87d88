/** Places where blocks stand: a shed, a shelf, a corner of the cellar. */
import { useState } from "preact/hooks";
import type { BlockView, Standing } from "../records/farm_view";
import { farm, hasEnded, isOwner } from "./here";
import { Absent, Barred } from "./parts/absent";
import { Doors } from "./parts/doors";
import { Text } from "./parts/field";
import { Frame } from "./parts/frame";
import { Form, Tap } from "./parts/tap";
import { Teach } from "./parts/teach";
import { written } from "./patch";
import { write } from "./saving";

const HOME = "#/farm/places";

export function Places() {
  const kept = [...farm.value.place.values()];
  return (
    <Frame
      title="Places"
      from="#/farm"
      acts={
        isOwner.value && (
          <a class="tap" href="#/place/new">
            New place
          </a>
        )
      }
    >
      {kept.length === 0 && <Teach words="Name where blocks stand, for example “Cellar, left rack”." />}
      <Doors
        shut={!isOwner.value}
        to={kept.map(({ id, fields }) => [`#/place/${id}`, fields.name, standingWords(id)])}
      />
    </Frame>
  );
}

function standing(place: string): BlockView[] {
  return [...farm.value.block.values()].filter((view) => view.place?.id === place);
}

function standingWords(place: string): string {
  const blocks = standing(place);
  const ended = blocks.filter(hasEnded).length;
  return `${blocks.length - ended} growing${ended > 0 ? `, ${ended} ended` : ""}`;
}

export function PlaceScreen({ id }: { id: string }) {
  const row = farm.value.place.get(id);
  if (!isOwner.value) return <Barred to={HOME} />;
  if (!row && id !== "new") return <Absent what="place" to={HOME} />;
  return (
    <Frame title={row ? row.fields.name : "New place"} from={HOME}>
      <PlaceForm key={id} row={row} />
    </Frame>
  );
}

export function PlaceForm({ row }: { row: Standing<"place"> | undefined }) {
  const [seen] = useState(row);
  const [name, setName] = useState(row?.fields.name ?? "");
  const [note, setNote] = useState(row?.fields.note ?? "");
  const [tried, setTried] = useState(false);
  const lack = name.trim() === "" ? "Write a name, for example “Cellar”." : "";
  const save = () => {
    setTried(true);
    if (lack) return;
    const fields = { name: name.trim(), note };
    return write(written("place", fields, seen), `${fields.name} is on this phone.`, HOME);
  };
  const drop =
    row && (() => write({ verb: "delete", kind: "place", id: row.id }, `${row.fields.name} deleted.`, HOME));
  return (
    <Form
      onSave={save}
      below={
        drop &&
        !row.refused &&
        standing(row.id).length === 0 && (
          <Tap look="heed" onTap={drop}>
            Delete this place
          </Tap>
        )
      }
    >
      <Text name="Name" most={80} value={name} wrong={tried ? lack : ""} onText={setName} />
      <Text name="Note" long most={2000} value={note} onText={setNote} />
    </Form>
  );
}
