/** Correcting a load, or one thing that went into it. */
import { useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import type { DryingView, PartView } from "../../records/keeping_view";
import type { Mass } from "../../records/masses";
import type { Drying, Method } from "../../records/types";
import { fieldTime } from "../dates";
import { type Read, useForm } from "../form";
import { draftOf, useDrafted } from "../parts/drafted";
import { Select, Text } from "../parts/field";
import { Drop } from "../parts/form_end";
import { Frame } from "../parts/frame";
import { varietiesByName } from "../parts/options";
import { Form } from "../parts/tap";
import { instantMeant } from "../parts/when";
import { written } from "../patch";
import { back } from "../route";
import { plain } from "./amounts";
import { readHow } from "./drying_draft";
import { How } from "./drying_how";
import { massText, readMass, type Understood } from "./typed_mass";

export function LoadEdit({ view }: { view: DryingView }) {
  return (
    <Frame title="Change this load" from={`#/drying/${view.id}`}>
      <DryingForm row={view.row} />
    </Frame>
  );
}

export function PartEdit({ part }: { part: PartView }) {
  const name = part.block?.fields.label ?? part.variety?.fields.name ?? "";
  return (
    <Frame title={`In the load: ${name}`} from={`#/drying/${part.row.fields.drying}`}>
      <DryingPartForm row={part.row} />
    </Frame>
  );
}

interface Shown {
  method: Method;
  temp: string;
  step: string;
  started: string;
  ended: string;
  dry: string;
  note: string;
}

function shownOf({ method, temp_c, scale_step_g, started, ended, dry_g, dry_typed, note }: Drying): Shown {
  return {
    method,
    temp: temp_c?.toString() ?? "",
    step: scale_step_g?.toString() ?? "",
    started: fieldTime(new Date(started)),
    ended: ended === null ? "" : fieldTime(new Date(ended)),
    dry: dry_g === null ? "" : massText({ grams: dry_g, typed: dry_typed }),
    note,
  };
}

type Field = keyof Shown;

/** What became of the load as it was seen. */
export function readShown(shown: Shown, seen: Standing<"drying">): Read<Field> {
  const faults: Partial<Record<Field, string>> = {};
  const { temp_c, scale_step_g } = readHow(shown, faults);
  const started = instantMeant(shown.started || "-", seen.fields.started);
  const ended = shown.ended === "" ? null : instantMeant(shown.ended, seen.fields.ended ?? undefined);
  if (!started) faults.started = "Choose the day and the time.";
  if (ended === undefined) faults.ended = "Choose the day and the time, or empty it while it dries on.";
  else if (started && ended && Date.parse(ended) < Date.parse(started))
    faults.ended = "It comes out before it goes in: check the times.";
  const dry = readDried(shown.dry, seen.fields);
  if (dry.wrong !== undefined) faults.dry = dry.wrong;
  if (!started || ended === undefined || dry.wrong !== undefined || Object.keys(faults).length > 0)
    return { faults };
  const dried = { dry_g: dry.value?.grams ?? null, dry_typed: dry.value?.typed ?? "" };
  const { method, note } = shown;
  const fields = { method, temp_c, scale_step_g, started, ended, note, ...dried };
  return { changes: [written("drying", fields, seen)], words: "Changed on this phone." };
}

/** null while it is not weighed out. */
function readDried(text: string, { dry_g, dry_typed }: Drying): Understood<Mass | null> {
  if (text.trim() === "") return { value: null };
  return readMass(text, dry_g === null ? undefined : { grams: dry_g, typed: dry_typed });
}

export function DryingForm({ row }: { row: Standing<"drying"> }) {
  const [seen] = useState(row);
  const draft = draftOf(seen, `drying/${row.id}/edit`);
  const start = useDrafted(draft, () => shownOf(seen.fields));
  return start && <LoadFields seen={seen} start={start} draft={draft} />;
}

interface LoadProps {
  seen: Standing<"drying">;
  start: Shown;
  draft: string;
}

function LoadFields({ seen, start, draft }: LoadProps) {
  const { field, save } = useForm(start, draft, (now: Shown) => readShown(now, seen));
  const submit = async () => {
    if (await save()) back(`#/drying/${seen.id}`);
  };
  const below = (
    <Drop row={seen} said="Load deleted." home="#/keeping" pageToo>
      Delete this load
    </Drop>
  );
  return (
    <Form onSave={submit} below={below}>
      <How field={field} />
      <Text name="Put in" type="datetime-local" {...field("started")} />
      <Text
        name="Taken out"
        hint="Empty while it is in the dryer."
        type="datetime-local"
        {...field("ended")}
      />
      <Text name="Dried mass of the whole load" {...field("dry")} />
      <Text name="Note" long most={2000} {...field("note")} />
    </Form>
  );
}

interface ShownPart {
  variety: string;
  text: string;
  note: string;
}

export function DryingPartForm({ row }: { row: Standing<"drying_part"> }) {
  const [seen] = useState(row);
  const { variety, typed, wet_g, note } = seen.fields;
  const draft = draftOf(seen);
  const start = useDrafted(draft, () => ({
    variety: variety ?? "",
    text: massText({ grams: wet_g, typed }),
    note,
  }));
  return start && <PartFields seen={seen} start={start} draft={draft} />;
}

function readPart({ variety, text, note }: ShownPart, seen: Standing<"drying_part">): Read<"text"> {
  const read = readMass(text, { grams: seen.fields.wet_g, typed: seen.fields.typed });
  if (read.wrong !== undefined) return { faults: { text: read.wrong } };
  const { grams: wet_g, typed } = read.value;
  const fields = { wet_g, typed, variety: variety || null, note };
  return { changes: [written("drying_part", fields, seen)], words: "Changed on this phone." };
}

interface PartProps {
  seen: Standing<"drying_part">;
  start: ShownPart;
  draft: string;
}

function PartFields({ seen, start, draft }: PartProps) {
  const { field, save } = useForm(start, draft, (now: ShownPart) => readPart(now, seen));
  const { fields } = seen;
  const home = `#/drying/${fields.drying}`;
  const submit = async () => {
    if (await save()) back(home);
  };
  const below = (
    <Drop row={seen} said={`${plain(fields.wet_g)} taken off the load.`} home={home}>
      Take it off the load
    </Drop>
  );
  return (
    <Form onSave={submit} below={below}>
      {fields.pick === null && (
        <Select name="Variety" {...field("variety")} options={[["", "Unknown"], ...varietiesByName()]} />
      )}
      <Text name="Wet mass in this load" {...field("text")} />
      <Text name="Note" long most={2000} {...field("note")} />
    </Form>
  );
}
