/** One thing that happened: its words, to read, correct or delete. */
import { useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import { readSoak, type SoakFields } from "../../records/soaked";
import { fieldTime, instantOf } from "../dates";
import { farm, mayPick, unit } from "../here";
import { Absent } from "../parts/absent";
import { happeningWords } from "../parts/chapters";
import { Text } from "../parts/field";
import { Drop } from "../parts/form_end";
import { Frame } from "../parts/frame";
import { Titled } from "../parts/label";
import { Masses, soakDraftOf } from "../parts/soak_masses";
import { Form } from "../parts/tap";
import { timeAfter, When } from "../parts/when";
import { written } from "../patch";
import { write } from "../saving";
import { WHATS } from "../words";
import { OUT_BEFORE_IN } from "./soak_times";

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
      {mayPick.value && <HappeningForm key={id} row={note} />}
    </Frame>
  );
}

export function HappeningForm({ row }: { row: Standing<"happening"> }) {
  const [seen] = useState(row);
  const { fields } = seen;
  const [at, setAt] = useState(fieldTime(new Date(fields.at)));
  const [until, setUntil] = useState(fields.until ? fieldTime(new Date(fields.until)) : "");
  const [offered] = useState(() => soakDraftOf(fields.mass_before_g, fields.mass_after_g));
  const [masses, setMasses] = useState(offered);
  const [words, setWords] = useState(fields.note);
  const [tried, setTried] = useState(false);
  const begun = timeAfter(farm.value.block.get(fields.block)?.delivery?.fields.received, at, fields.at);
  const end = until === "" ? null : instantOf(until);
  const wrong = begun.wrong === undefined && end && end < begun.value ? OUT_BEFORE_IN : undefined;
  const home = `#/block/${fields.block}`;
  const soak = fields.what === "soaked";
  const save = () => {
    setTried(true);
    const read = readSoak(masses, unit.value);
    if (begun.wrong !== undefined || end === undefined || wrong || !("fields" in read)) return;
    const weighed: Partial<SoakFields> = { ...read.fields };
    // What was shown rounded and left so keeps its grams.
    if (masses.before === offered.before) delete weighed.mass_before_g;
    if (masses.after === offered.after) delete weighed.mass_after_g;
    const kept = { at: begun.value, until: end, note: words, ...weighed };
    return write(written("happening", kept, seen), "Changed on this phone.", home);
  };
  return (
    <Form
      onSave={save}
      below={
        <Drop row={seen} said={`${WHATS[fields.what]}: deleted.`} home={home}>
          Delete
        </Drop>
      }
    >
      <When name="When" timed value={at} wrong={begun.wrong} onText={setAt} />
      {soak && <Text name="Out at" type="datetime-local" value={until} wrong={wrong} onText={setUntil} />}
      {soak && (
        <Masses draft={masses} tried={tried} onChange={(part) => setMasses((now) => ({ ...now, ...part }))} />
      )}
      <Text name="Note" long most={2000} value={words} onText={setWords} />
    </Form>
  );
}
