/** Correcting a load, or one thing that went into it. */
import { useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import type { DryingView, PartView } from "../../records/keeping_view";
import { parse_mass } from "../../records/masses";
import type { Drying, Method } from "../../records/types";
import { fieldTime } from "../dates";
import { type Read, useForm } from "../form";
import { unit } from "../here";
import { Select, Text } from "../parts/field";
import { Frame } from "../parts/frame";
import { Form, Tap } from "../parts/tap";
import { instantMeant } from "../parts/when";
import { written } from "../patch";
import { back, go } from "../route";
import { write } from "../saving";
import { plain } from "./amounts";
import { useDrafted } from "./drafted";
import { readHow } from "./drying_draft";
import { How } from "./drying_how";
import { varieties } from "./drying_parts";
import { massOf, typedMass } from "./typed_mass";

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
    dry: dry_g === null ? "" : dry_typed || massOf(dry_g),
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
  const read = shown.dry.trim() === "" ? null : parse_mass(shown.dry, unit.value);
  if (read && !("grams" in read)) faults.dry = read.sentence;
  if (!started || ended === undefined || Object.keys(faults).length > 0) return { faults };
  const { dry_g: was, dry_typed: typed } = seen.fields;
  const dried = {
    dry_g: read && "grams" in read ? read.grams : null,
    dry_typed: typedMass(shown.dry, { g: was, typed }),
  };
  const { method, note } = shown;
  const fields = { method, temp_c, scale_step_g, started, ended, note, ...dried };
  return { changes: [written("drying", fields, seen)], words: "Changed on this phone." };
}

export function DryingForm({ row }: { row: Standing<"drying"> }) {
  const [seen] = useState(row);
  const draft = seen.refused ? `refused/${seen.refused.op}` : `drying/${row.id}/edit`;
  const start = useDrafted(draft, () => shownOf(seen.fields));
  return start && <LoadFields seen={seen} start={start} draft={draft} />;
}

interface LoadProps {
  seen: Standing<"drying">;
  start: Shown;
  draft: string;
}

function LoadFields({ seen, start, draft }: LoadProps) {
  const { shown, change, faults: wrong, save } = useForm(start, draft, (now: Shown) => readShown(now, seen));
  const { id } = seen;
  const submit = async () => {
    if (await save()) back(`#/drying/${id}`);
  };
  const drop = async () => {
    if (await write({ verb: "delete", kind: "drying", id }, "Load deleted.")) go("#/keeping");
  };
  const below = !seen.refused && (
    <Tap look="heed" onTap={drop}>
      Delete this load
    </Tap>
  );
  return (
    <Form onSave={submit} below={below}>
      <How draft={shown} faults={wrong} onChange={change} />
      <Text
        name="Put in"
        type="datetime-local"
        value={shown.started}
        wrong={wrong.started}
        onText={(started) => change({ started })}
      />
      <Text
        name="Taken out"
        hint="Empty while it is in the dryer."
        type="datetime-local"
        value={shown.ended}
        wrong={wrong.ended}
        onText={(ended) => change({ ended })}
      />
      <Text
        name="Dried mass of the whole load"
        value={shown.dry}
        wrong={wrong.dry}
        onText={(dry) => change({ dry })}
      />
      <Text name="Note" long most={2000} value={shown.note} onText={(note) => change({ note })} />
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
  const draft = seen.refused ? `refused/${seen.refused.op}` : `drying_part/${row.id}`;
  const start = useDrafted(draft, () => ({ variety: variety ?? "", text: typed || massOf(wet_g), note }));
  return start && <PartFields seen={seen} start={start} draft={draft} />;
}

function readPart({ variety, text, note }: ShownPart, seen: Standing<"drying_part">): Read<"text"> {
  const read = parse_mass(text, unit.value);
  if (!("grams" in read)) return { faults: { text: read.sentence } };
  const typed = typedMass(text, { g: seen.fields.wet_g, typed: seen.fields.typed });
  const fields = { wet_g: read.grams, typed, variety: variety || null, note };
  return { changes: [written("drying_part", fields, seen)], words: "Changed on this phone." };
}

interface PartProps {
  seen: Standing<"drying_part">;
  start: ShownPart;
  draft: string;
}

function PartFields({ seen, start, draft }: PartProps) {
  const { shown, change, faults, save } = useForm(start, draft, (now: ShownPart) => readPart(now, seen));
  const { id, fields } = seen;
  const home = `#/drying/${fields.drying}`;
  const submit = async () => {
    if (await save()) back(home);
  };
  const drop = () =>
    write({ verb: "delete", kind: "drying_part", id }, `${plain(fields.wet_g)} taken off the load.`, home);
  const below = !seen.refused && (
    <Tap look="heed" onTap={drop}>
      Take it off the load
    </Tap>
  );
  return (
    <Form onSave={submit} below={below}>
      {fields.pick === null && (
        <Select
          name="Variety"
          value={shown.variety}
          options={[["", "Unknown"], ...varieties()]}
          onPick={(variety) => change({ variety })}
        />
      )}
      <Text
        name="Wet mass in this load"
        value={shown.text}
        wrong={faults.text}
        onText={(text) => change({ text })}
      />
      <Text name="Note" long most={2000} value={shown.note} onText={(note) => change({ note })} />
    </Form>
  );
}
