/** Correcting a block: its variety, mass, dry basis and place; or deleting it. */
import { useState } from "preact/hooks";
import { draftOf, readBlock, unrounded } from "../../records/block_draft";
import type { BlockView } from "../../records/farm_view";
import { farm, isOwner, mass, unit } from "../here";
import { useKept } from "../kept";
import { Absent, Barred } from "../parts/absent";
import { BlockFields } from "../parts/block_fields";
import { Select, Text } from "../parts/field";
import { Frame } from "../parts/frame";
import { Titled } from "../parts/label";
import { Form, Tap } from "../parts/tap";
import { written } from "../patch";
import { go } from "../route";
import { write } from "../saving";

export function BlockEdit({ id }: { id: string }) {
  const view = farm.value.block.get(id);
  if (!view) return <Absent what="block" to="#/blocks" />;
  if (!isOwner.value) return <Barred to={`#/block/${id}`} />;
  const { label } = view.fields;
  return (
    <Frame title={`Change ${label}`} heading={<Titled code={label}>Change</Titled>} from={`#/block/${id}`}>
      <BlockForm key={id} view={view} />
    </Frame>
  );
}

export function BlockForm({ view }: { view: BlockView }) {
  const { id } = view;
  const [seen] = useState(view.row);
  const { label } = view.fields;
  const [offered] = useState(() => draftOf(seen.fields, mass));
  const { shown: draft, latest, change } = useKept(offered);
  const [tried, setTried] = useState(false);
  const wrong = (tried && readBlock(draft, unit.value).wrong) || {};
  const varieties = [...farm.value.variety.values()].map((row) => [row.id, row.fields.name] as const);
  const save = () => {
    const read = readBlock(latest(), unit.value);
    setTried(true);
    if (!read.fields) return;
    const fields = unrounded(read.fields, latest(), offered, seen.fields);
    return write(written("block", fields, seen), `${label} changed on this phone.`, `#/block/${id}`);
  };
  const drop = async () => {
    const words = `${label} deleted, with what was picked from it.`;
    if (await write({ verb: "delete", kind: "block", id }, words)) go("#/blocks");
  };
  return (
    <Form
      onSave={save}
      below={
        !seen.refused && (
          <Tap look="heed" onTap={drop}>
            Delete this block
          </Tap>
        )
      }
    >
      <Select
        name="Variety"
        value={draft.variety}
        options={varieties}
        wrong={wrong.variety}
        onPick={(variety) => change({ variety })}
      />
      <BlockFields draft={draft} wrong={wrong} onChange={change} />
      <Text name="Note" long most={2000} value={draft.note} onText={(note) => change({ note })} />
    </Form>
  );
}
