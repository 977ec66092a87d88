/** Filling and closing a jar, or correcting one. */
import { useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import type { DryingView, JarView } from "../../records/keeping_view";
import type { Container, Cut, Jar } from "../../records/types";
import { dayOf, dayWords, localDay } from "../dates";
import { type Read, useForm } from "../form";
import { freeLabel } from "../free_label";
import { farm, keeping, now } from "../here";
import { plain } from "../keeping/amounts";
import { contents, unjarred } from "../keeping/loads";
import { showWrong } from "../keeping/show_wrong";
import { CONTAINERS, CUTS } from "../keeping_words";
import type { Field } from "../parts/bound";
import { draftOf, useDrafted } from "../parts/drafted";
import { Choice, Select, Text } from "../parts/field";
import { Drop, EmptyForm } from "../parts/form_end";
import { Frame } from "../parts/frame";
import { Label } from "../parts/label";
import { namesOf, varietiesByName } from "../parts/options";
import { Sure } from "../parts/sure";
import { Form } from "../parts/tap";
import { back, replaceWith } from "../route";
import { usedLabels } from "../used_labels";
import { freshJar, type JarDraft, type JarField, jarDraftOf, kindsIn, ofKind, readJar } from "./jar_draft";
import { Sealing } from "./sealing";

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
  const draft = draftOf(seen, `jar/${seen.id}/edit`);
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
    readJar(draft, { today: localDay(new Date()), load: loadOf(draft.drying) }, seen);
  const { shown: draft, change, field, odd, save } = useForm(start, key, read);
  const submit = async () => {
    const id = await save();
    if (!id) return showWrong();
    if (seen) back(`#/jar/${seen.id}`);
    else replaceWith(`#/jar/${id}`);
  };
  const below = seen ? <DropJar row={seen} /> : <EmptyForm onTap={() => change(emptied(draft))} />;
  return (
    <Form onSave={submit} save={seen ? "Save" : "Close the jar"} below={below}>
      {!seen && (
        <p class="write-on">
          <Label code={draft.label} big /> <span>Write this on it, large.</span>
        </p>
      )}
      <Filling draft={draft} field={field} onChange={change} />
      <Text name="Dry mass in it" example="60 g" {...field("dry")} />
      <Sure odd={odd} onYes={(sure) => change({ sure })} />
      <Choice
        name="Container"
        {...field("container")}
        options={Object.entries(CONTAINERS) as [Container, string][]}
      />
      {draft.container === "bag" && (
        <p class="quiet small">Thick, light-proof bags with absorbers outlast jars (common practice).</p>
      )}
      <Sealing draft={draft} field={field} />
      <Shelf field={field} />
    </Form>
  );
}

interface FillingProps {
  draft: JarDraft;
  field: Field<JarDraft>;
  onChange: (part: Partial<JarDraft>) => void;
}

function Filling({ draft, field, onChange }: FillingProps) {
  const load = keeping.value.drying.get(draft.drying);
  const kinds = varietiesByName();
  return (
    <>
      {load && (
        <p>
          From the load of {dayWords(dayOf(load.fields.started), localDay(new Date(now.value)))}:{" "}
          {contents(load)}
          {load.fields.dry_g !== null && `, ${plain(Math.max(0, unjarred(load)))} of it in no jar yet`}.
        </p>
      )}
      {load && <OfMixed load={load} draft={draft} onChange={onChange} />}
      {!load && kinds.length > 0 && (
        <Select
          name="Variety"
          value={draft.variety}
          options={[["", "Not noted"], ...kinds]}
          onPick={(variety) => onChange({ variety, ...named(draft, variety) })}
        />
      )}
      <Text name="What is in it" most={80} {...field("what")} />
      <Choice name="Cut" {...field("cut")} options={Object.entries(CUTS) as [Cut, string][]} />
      {draft.cut === "powder" && <p class="quiet small">Powder takes the least room (common practice).</p>}
    </>
  );
}

/** Of a load of several varieties, emptied tray by tray: which of them this is. */
function OfMixed({ load, draft, onChange }: Omit<FillingProps, "field"> & { load: DryingView }) {
  const kinds = kindsIn(load);
  if (kinds.length < 2) return null;
  return (
    <Choice
      name="Which variety"
      value={draft.variety}
      options={[["", "All of it"], ...kinds]}
      onPick={(variety) => onChange(ofKind(draft, variety, load))}
      {...(draft.variety && { hint: "Weigh them by themselves: the load was weighed as one." })}
    />
  );
}

/** The variety's name is offered until the grower has written another. */
function named(draft: JarDraft, variety: string): Partial<JarDraft> {
  const before = farm.value.variety.get(draft.variety)?.fields.name ?? "";
  const name = farm.value.variety.get(variety)?.fields.name;
  return name && (draft.what === "" || draft.what === before) ? { what: name } : {};
}

function Shelf({ field }: { field: Field<JarDraft> }) {
  const places = namesOf("place");
  return (
    <>
      {places.length > 0 && (
        <Select name="Where it stands" {...field("place")} options={[["", "Not noted"], ...places]} />
      )}
      <div class="side">
        <Text name="Packed" type="date" {...field("packed")} />
        <Text name="Your best-before" type="date" {...field("best")} />
      </div>
      <Text name="Note (if any)" long most={2000} {...field("note")} />
    </>
  );
}

function emptied({ label, drying }: JarDraft): JarDraft {
  return freshJar(label, localDay(new Date()), keeping.value.drying.get(drying), lastJar());
}

function DropJar({ row }: { row: Standing<"jar"> }) {
  return (
    <Drop row={row} said={`Jar ${row.fields.label} deleted.`} home="#/keeping" pageToo>
      Delete this jar
    </Drop>
  );
}
