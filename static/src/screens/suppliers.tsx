/** Suppliers side by side: what came, what it gave, and from how many blocks that is known. */
import { type SupplierHistory, supplier_history } from "../calc/suppliers";
import type { BlockView, Standing } from "../records/farm_view";
import { Nothing } from "./blocks";
import { farm, grownOf } from "./here";
import { Frame } from "./parts/frame";
import { FEW, Range, spreadWords } from "./parts/range";
import { count } from "./words";

interface Kept {
  row: Standing<"supplier">;
  history: SupplierHistory;
}

export function Suppliers() {
  const kept = histories();
  const most = Math.max(100, ...kept.map(({ history }) => history.yield_g_per_kg_wet?.high ?? 0));
  const known = kept.some(({ history }) => history.yield_g_per_kg_wet);
  return (
    <Frame title="Suppliers">
      {kept.length === 0 && <Nothing />}
      {known && (
        <p class="quiet">
          Finished blocks of all varieties. Dot: the middle block. Line: from the poorest to the best.
        </p>
      )}
      <ul class="list">
        {kept.map(({ row, history }) => (
          <li key={row.id}>
            <a class="supplier" href={`#/supplier/${row.id}`}>
              <h2>{row.fields.name}</h2>
              <Yield history={history} most={most} />
              <span class="quiet small">{counts(history)}</span>
            </a>
          </li>
        ))}
      </ul>
    </Frame>
  );
}

function Yield({ history, most }: { history: SupplierHistory; most: number }) {
  const spread = history.yield_g_per_kg_wet;
  if (!spread) return <span>No finished block yet, so no yield to show.</span>;
  const few = spread.n < FEW ? "; too few to tell" : "";
  return (
    <>
      <span class="figure">
        {spread.median.toFixed(0)} <span class="unit">g per kg wet</span>
      </span>
      <Range spread={spread} most={most} />
      <span>
        {[spreadWords(spread), `${count(spread.n, "finished block")}${few}`].filter(Boolean).join(", from ")}
      </span>
    </>
  );
}

function counts({ received, finished, failed, unfinished }: SupplierHistory): string {
  const parts = [
    `${count(received, "block")} received`,
    `${finished} finished`,
    failed > 0 && `${failed} of them without a harvest`,
    unfinished > 0 && `${unfinished} still growing`,
  ];
  return parts.filter(Boolean).join(", ");
}

export function blocksOf(supplier: string): BlockView[] {
  return [...farm.value.block.values()].filter((view) => view.supplier?.id === supplier);
}

function histories(): Kept[] {
  return [...farm.value.supplier.values()]
    .map((row) => ({ row, history: supplier_history(blocksOf(row.id).map(grownOf)) }))
    .sort((a, b) => a.row.fields.name.localeCompare(b.row.fields.name));
}
