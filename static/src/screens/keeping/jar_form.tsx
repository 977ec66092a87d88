/** Filling and closing a jar, or correcting one. */
import { useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import type { JarView } from "../../records/keeping_view";
import type { Container, Cut, Jar } from "../../records/types";
import { dayOf, dayWords, localDay } from "../dates";
import { type Read, useForm } from "../form";
import { freeLabel } from "../free_label";
import { farm, keeping, now, unit } from "../here";
import { CONTAINERS, CUTS } from "../keeping_words";
import { Choice, type Option, Select, Text } from "../parts/field";
import { Frame } from "../parts/frame";
import { Label } from "../parts/label";
import { Sure } from "../parts/sure";
import { Form, Tap } from "../parts/tap";
import { back, go, replaceWith } from "../route";
import { write } from "../saving";
import { usedLabels } from "../used_labels";
import { plain } from "./amounts";
import { useDrafted } from "./drafted";
import { varieties } from "./drying_parts";
import { freshJar, type JarDraft, type JarField, jarDraftOf, readJar } from "./jar_draft";
import { contents, unjarred } from "./loads";
import { Sealing } from "./sealing";
import { showWrong } from "./show_wrong";

/** `from`: the load it is filled from, or "". */
export function NewJar({ from }: { from: string }) {
  const draft = from ? `jar/new/${from}` : "jar/new";
  const start = useDrafted(draft, () =>
    freshJar(freeLabel(usedLabels()), localDay(new Date()), keeping.value.drying.get(from), lastJar()),
  );
  const home = from ? `#/drying/${from}` : "#/keeping";
  return (
    start && (
      <Frame title="New jar" from={home}>
        <Fields key={draft} draft={draft} start={start} />
      </Frame>
    )
  );
}

function lastJar(): Jar | undefined {
  // Ids sort by the time they were made.
  const ids = [...keeping.value.jar.keys()].sort();
  return keeping.value.jar.get(ids.at(-1) ?? "")?.fields;
}

export function JarEdit({ view }: { view: JarView }) {
  return (
    <Frame title={`Change jar ${view.fields.label}`} from={`#/jar/${view.id}`}>
      <JarForm row={view.row} />
    </Frame>
  );
}

export function JarForm({ row }: { row: Standing<"jar"> }) {
  const [seen] = useState(row);
  const draft = seen.refused ? `refused/${seen.refused.op}` : `jar/${seen.id}/edit`;
  const start = useDrafted(draft, () => jarDraftOf(seen));
  return start && <Fields draft={draft} start={start} seen={seen} />;
}

interface Props {
  draft: string;
  start: JarDraft;
  seen?: Standing<"jar">;
}

function Fields({ draft: key, start, seen }: Props) {
  const loadOf = (id: string) => keeping.value.drying.get(id);
  const read = (draft: JarDraft): Read<JarField> =>
    readJar(draft, { unit: unit.value, today: localDay(new Date()), load: loadOf(draft.drying) }, seen);
  const { shown: draft, change, faults, odd, save } = useForm(start, key, read);
  const submit = async () => {
    const id = await save();
    if (!id) return showWrong();
    if (seen) back(`#/jar/${seen.id}`);
    else replaceWith(`#/jar/${id}`);
  };
  const below = seen ? !seen.refused && <Drop row={seen} /> : <Empty onTap={() => change(emptied(draft))} />;
  return (
    <Form onSave={submit} save={seen ? "Save" : "Close the jar"} below={below}>
      {!seen && (
        <p class="write-on">
          <Label code={draft.label} big /> <span>Write this on it, large.</span>
        </p>
      )}
      <Filling draft={draft} faults={faults} onChange={change} />
      <Text
        name="Dry mass in it"
        example="60 g"
        value={draft.dry}
        wrong={faults.dry}
        onText={(dry) => change({ dry })}
      />
      <Sure odd={odd} onYes={(sure) => change({ sure })} />
      <Choice
        name="Container"
        value={draft.container}
        options={Object.entries(CONTAINERS) as [Container, string][]}
        onPick={(container) => change({ container })}
      />
      {draft.container === "bag" && (
        <p class="quiet small">
          Thick, light-proof bags with absorbers outlast jars (common practice, no source).
        </p>
      )}
      <Sealing draft={draft} faults={faults} onChange={change} />
      <Shelf draft={draft} faults={faults} onChange={change} />
    </Form>
  );
}

interface Part {
  draft: JarDraft;
  faults: Partial<Record<JarField, string>>;
  onChange: (part: Partial<JarDraft>) => void;
}

function Filling({ draft, faults, onChange }: Part) {
  const load = keeping.value.drying.get(draft.drying);
  const kinds = varieties();
  return (
    <>
      {load && (
        <p>
          From the load of {dayWords(dayOf(load.fields.started), localDay(new Date(now.value)))}:{" "}
          {contents(load)}
          {load.fields.dry_g !== null && `, ${plain(Math.max(0, unjarred(load)))} of it in no jar yet`}.
        </p>
      )}
      {!load && kinds.length > 0 && (
        <Select
          name="Variety"
          value={draft.variety}
          options={[["", "Not noted"], ...kinds]}
          onPick={(variety) => onChange({ variety, ...named(draft, variety) })}
        />
      )}
      <Text
        name="What is in it"
        most={80}
        value={draft.what}
        wrong={faults.what}
        onText={(what) => onChange({ what })}
      />
      <Choice
        name="Cut"
        value={draft.cut}
        options={Object.entries(CUTS) as [Cut, string][]}
        onPick={(cut) => onChange({ cut })}
      />
      {draft.cut === "powder" && (
        <p class="quiet small">Powder takes the least room (common practice, no source).</p>
      )}
    </>
  );
}

/** The variety's name is offered until the grower has written another. */
function named(draft: JarDraft, variety: string): Partial<JarDraft> {
  const before = farm.value.variety.get(draft.variety)?.fields.name ?? "";
  const name = farm.value.variety.get(variety)?.fields.name;
  return name && (draft.what === "" || draft.what === before) ? { what: name } : {};
}

function Shelf({ draft, faults, onChange }: Part) {
  const places = [...farm.value.place.values()].map(({ id, fields }): Option => [id, fields.name]);
  return (
    <>
      {places.length > 0 && (
        <Select
          name="Where it stands"
          value={draft.place}
          options={[["", "Not noted"], ...places]}
          onPick={(place) => onChange({ place })}
        />
      )}
      <div class="side">
        <Text
          name="Packed"
          type="date"
          value={draft.packed}
          wrong={faults.packed}
          onText={(packed) => onChange({ packed })}
        />
        <Text
          name="Your best-before"
          type="date"
          value={draft.best}
          wrong={faults.best}
          onText={(best) => onChange({ best })}
        />
      </div>
      <Text name="Note (if any)" long most={2000} value={draft.note} onText={(note) => onChange({ note })} />
    </>
  );
}

function emptied({ label, drying }: JarDraft): JarDraft {
  return freshJar(label, localDay(new Date()), keeping.value.drying.get(drying), lastJar());
}

function Empty({ onTap }: { onTap: () => void }) {
  return (
    <Tap look="plain" onTap={onTap}>
      Empty this form
    </Tap>
  );
}

function Drop({ row: { id, fields } }: { row: Standing<"jar"> }) {
  const drop = async () => {
    if (await write({ verb: "delete", kind: "jar", id }, `Jar ${fields.label} deleted.`)) go("#/keeping");
  };
  return (
    <Tap look="heed" onTap={drop}>
      Delete this jar
    </Tap>
  );
}
