/** One supplier: the history over all varieties and for each apart, and every block behind the numbers. */
import { useState } from "preact/hooks";
import {
  early_words,
  history_by_variety,
  type SupplierHistory,
  supplier_history,
} from "../../calc/suppliers";
import type { BlockView, Standing } from "../../records/farm_view";
import { dayWords, localDay } from "../dates";
import { farm, grownOf, isOwner, now } from "../here";
import { useKept } from "../kept";
import { Absent } from "../parts/absent";
import { BlockRow } from "../parts/block_row";
import { bound } from "../parts/bound";
import { Text } from "../parts/field";
import { Frame } from "../parts/frame";
import { HistoryTable } from "../parts/history_table";
import { Form, Tap } from "../parts/tap";
import { written } from "../patch";
import { write } from "../saving";
import { count } from "../words";
import { blocksOf } from "./plain";
import { Reports } from "./report_list";

export function Supplier({ id }: { id: string }) {
  const row = farm.value.supplier.get(id);
  if (!row) return <Absent what="supplier" to="#/suppliers" />;
  const blocks = blocksOf(id);
  const grown = blocks.map(grownOf);
  const apart = [...history_by_variety(grown)];
  return (
    <Frame
      title={row.fields.name}
      from="#/suppliers"
      acts={
        isOwner.value && (
          <a class="tap" href={`#/report/new/${id}`}>
            Make a yield report
          </a>
        )
      }
    >
      {apart.length !== 1 && <HistoryTable name="All varieties" history={supplier_history(grown)} />}
      {apart.length === 1 ? <Apart of={apart[0]} /> : <ByVariety of={apart} />}
      <p class="quiet small">
        Finished: noted as spent or discarded. Only those count in a yield. Compare suppliers on the same
        variety.
      </p>
      {isOwner.value && <Reports supplier={id} />}
      <Deliveries supplier={id} />
      <Blocks views={blocks} />
      {isOwner.value && <Change key={id} row={row} />}
    </Frame>
  );
}

type OfVariety = readonly [variety: string, history: SupplierHistory];

function nameOf([variety]: OfVariety): string {
  return farm.value.variety.get(variety)?.fields.name ?? "A variety not here yet";
}

function Apart({ of }: { of: OfVariety | undefined }) {
  return of ? <HistoryTable name={nameOf(of)} history={of[1]} /> : null;
}

function ByVariety({ of }: { of: readonly OfVariety[] }) {
  if (of.length === 0) return null;
  return (
    <section>
      <h2>By variety</h2>
      {of.map((each) => (
        <Folded key={each[0]} of={each} />
      ))}
    </section>
  );
}

/** Several varieties make a long page: each shows its middle, or why there is none yet, and the rest at a tap. */
function Folded({ of }: { of: OfVariety }) {
  const { received, yield_g_per_kg_wet: spread } = of[1];
  const brought = spread ? `${spread.median.toFixed(0)} g per kg wet` : early_words(of[1]);
  return (
    <details class="behind-one">
      <summary>
        {nameOf(of)}: {count(received, "block")}, {brought}
      </summary>
      <Apart of={of} />
    </details>
  );
}

const FIRST = 6;

function Blocks({ views }: { views: readonly BlockView[] }) {
  const [all, setAll] = useState(false);
  const shown = all ? views : views.slice(0, FIRST);
  return (
    <section>
      <h2>Every block</h2>
      <ul class="blocks list">
        {shown.map((view) => (
          <BlockRow key={view.id} view={view} />
        ))}
      </ul>
      {shown.length < views.length && (
        <Tap onTap={() => setAll(true)}>Show all {count(views.length, "block")}</Tap>
      )}
    </section>
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
            <a class="grow" href={`#/delivery/${id}`}>
              <strong>{dayWords(fields.received, today)}</strong>
              <span class="quiet small">
                {[
                  count(fields.count, "block"),
                  fields.lot && `lot ${fields.lot}`,
                  fields.price && `${fields.price} ${fields.currency}`,
                ]
                  .filter(Boolean)
                  .join(", ")}
              </span>
            </a>
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
  const field = bound({ shown: fields, faults: { name: wrong }, change });
  const save = async () => {
    if (wrong) return;
    const name = fields.name.trim();
    const change = written("supplier", { ...fields, name }, seen);
    if (await write(change, `${name} changed on this phone.`)) onSaved();
  };
  return (
    <Form onSave={save}>
      <Text name="Name" most={80} {...field("name")} />
      <Text name="Contact" most={200} {...field("contact")} />
      <Text name="Note" long most={2000} {...field("note")} />
    </Form>
  );
}
