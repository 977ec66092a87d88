/** Suppliers side by side as the phone knows them: what came, what it gave, and from how many blocks that is known. */
import { early_words, type SupplierHistory, supplier_history } from "../../calc/suppliers";
import type { BlockView, Standing } from "../../records/farm_view";
import { farm, grownOf } from "../here";
import { Range, spreadWords } from "../parts/range";
import { count } from "../words";

interface Kept {
  row: Standing<"supplier">;
  history: SupplierHistory;
}

/** What the phone itself can say, until the server has compared: plain middles, of finished blocks only. */
export function PlainHistory({ variety }: { variety: string }) {
  const kept = histories(variety);
  const most = Math.max(100, ...kept.map(({ history }) => history.yield_g_per_kg_wet?.high ?? 0));
  return (
    <section>
      <h2>As it stands on this phone</h2>
      <p class="quiet">
        No fair comparison: only finished blocks count{variety ? "" : ", of all varieties"}. Dot: the middle
        block. Line: from the poorest to the best.
      </p>
      <ul class="list">
        {kept.map(({ row, history }) => (
          <li key={row.id}>
            <a class="supplier" href={`#/supplier/${row.id}`}>
              <h3>{row.fields.name}</h3>
              <Yield history={history} most={most} />
              <span class="quiet small">{counts(history)}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Yield({ history, most }: { history: SupplierHistory; most: number }) {
  const spread = history.yield_g_per_kg_wet;
  if (!spread) return <span>{sentence(early_words(history)) || "No block yet, so no yield to show."}</span>;
  return (
    <>
      <span class="figure">
        {spread.median.toFixed(0)} <span class="unit">g per kg wet</span>
      </span>
      <Range spread={spread} most={most} />
      <span>{[spreadWords(spread), count(spread.n, "finished block")].filter(Boolean).join(", from ")}</span>
    </>
  );
}

/** "1 failed, …" stands as it is; words begin with a capital. */
function sentence(words: string): string {
  return words && `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
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

/** Of one variety, or of all where none is named. */
function histories(variety: string): Kept[] {
  return [...farm.value.supplier.values()]
    .map((row) => ({
      row,
      blocks: blocksOf(row.id).filter(({ fields }) => !variety || fields.variety === variety),
    }))
    .filter(({ blocks }) => !variety || blocks.length > 0)
    .map(({ row, blocks }) => ({ row, history: supplier_history(blocks.map(grownOf)) }))
    .sort((a, b) => a.row.fields.name.localeCompare(b.row.fields.name));
}
