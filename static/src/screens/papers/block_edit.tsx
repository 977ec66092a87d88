/** Correcting a block: its variety, mass, dry basis and place; or deleting it. */
import { useState } from "preact/hooks";
import { draftOf, unrounded } from "../../records/block_draft";
import type { Standing } from "../../records/farm_view";
import type { Change } from "../../store";
import { farm, isOwner, mass, unit } from "../here";
import { useKept } from "../kept";
import { Absent, Barred } from "../parts/absent";
import { BlockFields } from "../parts/block_fields";
import { bound } from "../parts/bound";
import { Select, Text } from "../parts/field";
import { Drop } from "../parts/form_end";
import { Frame } from "../parts/frame";
import { Titled } from "../parts/label";
import { namesOf } from "../parts/options";
import { Form } from "../parts/tap";
import { written } from "../patch";
import { back } from "../route";
import { keep, once } from "../saving";
import { readPlaced } from "./placed";

export function BlockEdit({ id }: { id: string }) {
  const view = farm.value.block.get(id);
  if (!view) return <Absent what="block" to="#/blocks" />;
  if (!isOwner.value) return <Barred to={`#/block/${id}`} />;
  const { label } = view.fields;
  return (
    <Frame title={`Change ${label}`} heading={<Titled code={label}>Change</Titled>} from={`#/block/${id}`}>
      <BlockForm key={id} row={view.row} />
    </Frame>
  );
}

export function BlockForm({ row }: { row: Standing<"block"> }) {
  const [seen] = useState(row);
  const { label } = seen.fields;
  const [offered] = useState(() => draftOf(seen.fields, mass));
  const { shown: draft, latest, change } = useKept(offered);
  const [tried, setTried] = useState(false);
  const wrong = (tried && readPlaced(draft, unit.value, []).wrong) || {};
  const field = bound({ shown: draft, faults: wrong, change });
  const save = async () => {
    const places: Change[] = [];
    const read = readPlaced(latest(), unit.value, places);
    setTried(true);
    if (!read.fields) return;
    const fields = unrounded(read.fields, latest(), offered, seen.fields);
    const changes = [...places, written("block", fields, seen)];
    const done = await once(`patch ${seen.id}`, () => keep(changes, `${label} changed on this phone.`));
    if (done) back(`#/block/${seen.id}`);
  };
  return (
    <Form
      onSave={save}
      below={
        <Drop row={seen} said={`${label} deleted, with what was picked from it.`} home="#/blocks" pageToo>
          Delete this block
        </Drop>
      }
    >
      <Select name="Variety" {...field("variety")} options={namesOf("variety")} />
      <BlockFields draft={draft} wrong={wrong} onChange={change} />
      <Text name="Note" long most={2000} {...field("note")} />
    </Form>
  );
}
