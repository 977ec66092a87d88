/** One thing that happened: its words, to read, correct or delete. */
import { useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import { fieldTime, instantOf } from "../dates";
import { farm, mayPick } from "../here";
import { Absent } from "../parts/absent";
import { happeningWords } from "../parts/chapters";
import { Text } from "../parts/field";
import { Frame } from "../parts/frame";
import { Titled } from "../parts/label";
import { Masses, type Masses as Soaked } from "../parts/soak_masses";
import { Form, Tap } from "../parts/tap";
import { written } from "../patch";
import { write } from "../saving";
import { WHATS } from "../words";
import { OUT_BEFORE_IN } from "./happened";

export function HappeningScreen({ id }: { id: string }) {
  const note = farm.value.happening.get(id);
  const view = note && farm.value.block.get(note.fields.block);
  if (!note || !view) return <Absent what="note" to="#/blocks" />;
  const { label } = view.fields;
  const what = WHATS[note.fields.what];
  return (
    <Frame
      title={`${what}, ${label}`}
      heading={<Titled code={label}>{what}</Titled>}
      from={`#/block/${view.id}`}
    >
      <p>{happeningWords(note.fields)}</p>
      {mayPick.value && <HappeningForm key={id} note={note} />}
    </Frame>
  );
}

export function HappeningForm({ note }: { note: Standing<"happening"> }) {
  const [seen] = useState(note);
  const { fields, id } = seen;
  const [at, setAt] = useState(fieldTime(new Date(fields.at)));
  const [until, setUntil] = useState(fields.until ? fieldTime(new Date(fields.until)) : "");
  const [masses, setMasses] = useState<Soaked | null>(null);
  const [words, setWords] = useState(fields.note);
  const begun = instantOf(at);
  const end = until === "" ? null : instantOf(until);
  const wrong = (begun && end && end < begun ? OUT_BEFORE_IN : "") || masses?.wrong;
  const home = `#/block/${fields.block}`;
  const soak = fields.what === "soaked";
  const save = () => {
    if (!begun || end === undefined || wrong) return;
    // A field without seconds must not move what was noted to the second.
    const kept = { at: at === fieldTime(new Date(fields.at)) ? fields.at : begun, until: end, note: words };
    return write(written("happening", { ...kept, ...masses?.fields }, seen), "Changed on this phone.", home);
  };
  const drop = () =>
    write({ verb: "delete", kind: "happening", id }, `${WHATS[fields.what]}: deleted.`, home);
  return (
    <Form
      onSave={save}
      below={
        !seen.refused && (
          <Tap look="heed" onTap={drop}>
            Delete
          </Tap>
        )
      }
    >
      <Text
        name="When"
        type="datetime-local"
        value={at}
        wrong={begun ? undefined : "Choose a day and a time."}
        onText={setAt}
      />
      {soak && <Text name="Out at" type="datetime-local" value={until} wrong={wrong} onText={setUntil} />}
      {soak && <Masses before={fields.mass_before_g} after={fields.mass_after_g} onMasses={setMasses} />}
      <Text name="Note" long most={2000} value={words} onText={setWords} />
    </Form>
  );
}
