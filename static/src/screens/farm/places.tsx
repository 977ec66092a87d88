/** Places where blocks stand: a shed, a shelf, a corner of the cellar. */
import { useState } from "preact/hooks";
import type { BlockView, Standing } from "../../records/farm_view";
import { whenWords } from "../dates";
import { farm, hasEnded, isOwner, mayPick, now } from "../here";
import { Absent, Barred } from "../parts/absent";
import { Doors } from "../parts/doors";
import { Text } from "../parts/field";
import { Frame } from "../parts/frame";
import { Form, Tap } from "../parts/tap";
import { Teach } from "../parts/teach";
import { written } from "../patch";
import { replaceWith } from "../route";
import { write } from "../saving";
import { AirCare, Readings } from "./readings";
import { NewReading, ReadingForm } from "./readings_form";
import { readingsOf, readingWords } from "./readings_words";

const HOME = "#/farm/places";

export function Places() {
  const places = [...farm.value.place.values()];
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
      {places.length === 0 && <Teach words="Name where blocks stand, for example “Cellar, left rack”." />}
      <Doors to={places.map(({ id, fields }) => [`#/place/${id}`, fields.name, placeWords(id)])} />
    </Frame>
  );
}

function placeWords(id: string): string {
  const last = readingsOf(id).at(-1)?.fields;
  return [standingWords(id), last && `${readingWords(last)}, ${whenWords(last.at, now.value)}`]
    .filter(Boolean)
    .join(" · ");
}

function standing(place: string): BlockView[] {
  return [...farm.value.block.values()].filter((view) => view.place?.id === place);
}

function standingWords(place: string): string {
  const blocks = standing(place);
  const ended = blocks.filter(hasEnded).length;
  return `${blocks.length - ended} growing${ended > 0 ? `, ${ended} ended` : ""}`;
}

/** A place and its air; `part` is "edit", "reading" for a new one, or a reading's id. */
export function PlaceScreen({ id, part }: { id: string; part: string }) {
  const row = farm.value.place.get(id);
  if (id === "new" || part === "edit") return <Edit id={id} row={row} />;
  if (!row) return <Absent what="place" to={HOME} />;
  const home = `#/place/${id}`;
  if (part) {
    const reading = farm.value.reading.get(part);
    if (!mayPick.value) return <Barred to={home} />;
    if (!reading && part !== "reading") return <Absent what="reading" to={home} />;
    return (
      <Frame title={`Air of ${row.fields.name}`} from={home}>
        {reading ? <ReadingForm key={part} row={reading} /> : <NewReading place={id} />}
        <AirCare />
      </Frame>
    );
  }
  return (
    <Frame title={row.fields.name} from={HOME} acts={<Acts id={id} />}>
      <p class="quiet">{standingWords(id)}</p>
      {row.fields.note && <p>{row.fields.note}</p>}
      <Readings place={id} />
    </Frame>
  );
}

function Acts({ id }: { id: string }) {
  if (!mayPick.value) return null;
  return (
    <>
      <a class="tap main" href={`#/place/${id}/reading`}>
        Read the air
      </a>
      {isOwner.value && (
        <a class="tap" href={`#/place/${id}/edit`}>
          Change
        </a>
      )}
    </>
  );
}

function Edit({ id, row }: { id: string; row: Standing<"place"> | undefined }) {
  if (!isOwner.value) return <Barred to={row ? `#/place/${id}` : HOME} />;
  if (!row && id !== "new") return <Absent what="place" to={HOME} />;
  return (
    <Frame title={row ? `Change ${row.fields.name}` : "New place"} from={row ? `#/place/${id}` : HOME}>
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
    row &&
    (async () => {
      const gone = { verb: "delete", kind: "place", id: row.id } as const;
      // Not one step back: there stands the page of the place that is gone.
      if (await write(gone, `${row.fields.name} deleted.`)) replaceWith(HOME);
    });
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
