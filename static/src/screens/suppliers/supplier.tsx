/** One supplier: the history over all varieties and for each apart, and every block behind the numbers. */
import { useState } from "preact/hooks";
import { history_by_variety, supplier_history } from "../calc/suppliers";
import type { Standing } from "../records/farm_view";
import { dayWords, localDay } from "./dates";
import { farm, grownOf, isOwner, now } from "./here";
import { useKept } from "./kept";
import { Absent } from "./parts/absent";
import { BlockRow } from "./parts/block_row";
import { Text } from "./parts/field";
import { Frame } from "./parts/frame";
import { HistoryTable } from "./parts/history_table";
import { Form } from "./parts/tap";
import { written } from "./patch";
import { write } from "./saving";
import { blocksOf } from "./suppliers";
import { count } from "./words";

export function Supplier({ id }: { id: string }) {
  const row = farm.value.supplier.get(id);
  if (!row) return <Absent what="supplier" to="#/suppliers" />;
  const blocks = blocksOf(id);
  const grown = blocks.map(grownOf);
  const apart = [...history_by_variety(grown)];
  return (
    <Frame title={row.fields.name} from="#/suppliers">
      {apart.length !== 1 && <HistoryTable name="All varieties" history={supplier_history(grown)} />}
      {apart.map(([variety, history]) => (
        <HistoryTable
          key={variety}
          name={farm.value.variety.get(variety)?.fields.name ?? "A variety not here yet"}
          history={history}
        />
      ))}
      <p class="quiet small">Only finished blocks count in a yield. Compare suppliers on the same variety.</p>
      <Deliveries supplier={id} />
      <section>
        <h2>Every block</h2>
        <ul class="blocks list">
          {blocks.map((view) => (
            <BlockRow key={view.id} view={view} />
          ))}
        </ul>
      </section>
      {isOwner.value && <Change key={id} row={row} />}
    </Frame>
  );
}

function Deliveries({ supplier }: { supplier: string }) {
  const theirs = [...farm.value.delivery.values()]
    .filter(({ fields }) => fields.supplier === supplier)
    .sort((a, b) => (a.fields.received < b.fields.received ? 1 : -1));
  const today = localDay(new Date(now.value));
  return (
    <section>
      <h2>Deliveries</h2>
      <ul class="list">
        {theirs.map(({ id, fields }) => (
          <li class="line" key={id}>
            <a href={`#/delivery/${id}`}>{dayWords(fields.received, today)}</a>
            <span class="quiet">
              {[
                count(fields.count, "block"),
                fields.lot && `lot ${fields.lot}`,
                fields.price && `${fields.price} ${fields.currency}`,
              ]
                .filter(Boolean)
                .join(", ")}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Shut, it is gone: opened again it shows the supplier as it is by then. */
function Change({ row }: { row: Standing<"supplier"> }) {
  const [open, setOpen] = useState(false);
  return (
    <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Change name, contact, note</summary>
      {open && <SupplierForm row={row} onSaved={() => setOpen(false)} />}
    </details>
  );
}

interface FormProps {
  row: Standing<"supplier">;
  onSaved: () => void;
}

export function SupplierForm({ row, onSaved }: FormProps) {
  const [seen] = useState(row);
  const { shown: fields, change } = useKept(row.fields);
  const wrong = fields.name.trim() === "" ? "Write the supplier's name." : "";
  const save = async () => {
    if (wrong) return;
    const name = fields.name.trim();
    const change = written("supplier", { ...fields, name }, seen);
    if (await write(change, `${name} changed on this phone.`)) onSaved();
  };
  return (
    <Form onSave={save}>
      <Text name="Name" most={80} value={fields.name} wrong={wrong} onText={(name) => change({ name })} />
      <Text name="Contact" most={200} value={fields.contact} onText={(contact) => change({ contact })} />
      <Text name="Note" long most={2000} value={fields.note} onText={(note) => change({ note })} />
    </Form>
  );
}
