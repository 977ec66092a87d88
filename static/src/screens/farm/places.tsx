/** Places where blocks stand: a shed, a shelf, a corner of the cellar. */
import { useState } from "preact/hooks";
import type { BlockView, Standing } from "../records/farm_view";
import { farm, hasEnded, isOwner } from "./here";
import { Absent, Barred } from "./parts/absent";
import { FarmList } from "./parts/farm_list";
import { Text } from "./parts/field";
import { Frame } from "./parts/frame";
import { Form, Tap } from "./parts/tap";
import { written } from "./patch";
import { write } from "./saving";

const HOME = "#/farm/places";

export function Places() {
  return (
    <FarmList
      title="Places"
      one="place"
      teach="Name where blocks stand, for example “Cellar, left rack”."
      kept={[...farm.value.place.values()].map(({ id, fields }) => [id, fields.name, standingWords(id)])}
    />
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
