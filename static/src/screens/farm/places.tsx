/** Places where blocks stand: a shed, a shelf, a corner of the cellar. */
import { useState } from "preact/hooks";
import type { BlockView, Standing } from "../../records/farm_view";
import type { Place } from "../../records/types";
import { whenWords } from "../dates";
import { farm, hasEnded, isOwner, mayPick, now } from "../here";
import { useKept } from "../kept";
import { Absent, Barred } from "../parts/absent";
import { bound } from "../parts/bound";
import { Doors } from "../parts/doors";
import { Text } from "../parts/field";
import { Drop } from "../parts/form_end";
import { Frame } from "../parts/frame";
import { Form } from "../parts/tap";
import { Teach } from "../parts/teach";
import { written } from "../patch";
import { write } from "../saving";
import { PutHere } from "./put_here";
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
  if (blocks.length === 0) return "no block stands here";
  const ended = blocks.filter(hasEnded).length;
  return `${blocks.length - ended} growing${ended > 0 ? `, ${ended} ended` : ""}`;
}

/** A place and its air; `part` is "edit", "blocks" to put some here, "reading" for a new one, or a reading's id. */
export function PlaceScreen({ id, part }: { id: string; part: string }) {
  const row = farm.value.place.get(id);
  if (id === "new" || part === "edit") return <Edit id={id} row={row} />;
  if (!row) return <Absent what="place" to={HOME} />;
  const home = `#/place/${id}`;
  if (part) {
    const reading = farm.value.reading.get(part);
    if (!mayPick.value) return <Barred to={home} />;
    if (part === "blocks") return <PutHere key={id} place={row} />;
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
      {mayPick.value && <PutBlocks id={id} />}
      <Readings place={id} />
    </Frame>
  );
}

/** Until something stands there, its air is nobody's concern: then this is the one thing to do. */
function PutBlocks({ id }: { id: string }) {
  return (
    <a class={standing(id).length === 0 ? "tap main" : "tap"} href={`#/place/${id}/blocks`}>
      Put blocks here
    </a>
  );
}

function Acts({ id }: { id: string }) {
  if (!mayPick.value) return null;
  return (
    <>
      <a class={standing(id).length === 0 ? "tap" : "tap main"} href={`#/place/${id}/reading`}>
        Note temperature and humidity
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

const BLANK: Place = { name: "", note: "" };

export function PlaceForm({ row }: { row: Standing<"place"> | undefined }) {
  const [seen] = useState(row);
  const { shown, latest, change } = useKept(row?.fields ?? BLANK);
  const [tried, setTried] = useState(false);
  const lack = ({ name }: Place) => (name.trim() === "" ? "Write a name, for example “Cellar”." : "");
  const field = bound({ shown, faults: { name: tried ? lack(shown) : "" }, change });
  const save = () => {
    setTried(true);
    const fields = { ...latest(), name: latest().name.trim() };
    return lack(fields)
      ? undefined
      : write(written("place", fields, seen), `${fields.name} is on this phone.`, HOME);
  };
  return (
    <Form onSave={save} below={row && standing(row.id).length === 0 && <DropPlace row={row} />}>
      <Text name="Name" most={80} {...field("name")} />
      <Text name="Note" long most={2000} {...field("note")} />
    </Form>
  );
}

function DropPlace({ row }: { row: Standing<"place"> }) {
  return (
    <Drop row={row} said={`${row.fields.name} deleted.`} home={HOME} pageToo>
      Delete this place
    </Drop>
  );
}
