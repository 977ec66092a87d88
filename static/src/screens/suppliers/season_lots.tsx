/** Lots from the best to the poorest, each with the number of finished blocks its middle comes from. */
import { FEWEST_FINISHED } from "../../calc/suppliers";
import { dayWords, localDay } from "../dates";
import { farm, now } from "../here";
import { Range, spreadWords } from "../parts/range";
import { count } from "../words";
import type { Lot, Season } from "./wire";

const MOST_EITHER_END = 3;

export function Lots({ lots }: Pick<Season, "lots">) {
  const known = lots.filter(({ g_per_kg_wet }) => g_per_kg_wet);
  const unknown = lots.filter(({ g_per_kg_wet }) => !g_per_kg_wet);
  const most = Math.max(1, ...known.map(({ g_per_kg_wet }) => g_per_kg_wet?.high ?? 0));
  const few = known.length <= 2 * MOST_EITHER_END;
  const list = (some: readonly Lot[]) => <List lots={some} most={most} />;
  if (lots.length === 0) return null;
  return (
    <section>
      <h2>{few ? "Lots, best first" : "Best lots"}</h2>
      {known.length === 0 ? (
        <p>
          No lot has {FEWEST_FINISHED} finished blocks that were weighed on arrival yet: too early to rank
          any.
        </p>
      ) : (
        <p class="quiet small">
          Grams per kg wet of finished blocks. Dot: the middle block. Varieties differ: hold a lot against
          others of its own.
        </p>
      )}
      {list(few ? known : known.slice(0, MOST_EITHER_END))}
      {!few && (
        <>
          <h2>Poorest lots</h2>
          {list(known.slice(-MOST_EITHER_END))}
          <details>
            <summary>All {known.length} lots</summary>
            {list(known)}
          </details>
        </>
      )}
      {unknown.length > 0 && (
        <details>
          <summary>{count(unknown.length, "lot")} with too few finished blocks to rank</summary>
          {list(unknown)}
        </details>
      )}
    </section>
  );
}

function List({ lots, most }: { lots: readonly Lot[]; most: number }) {
  if (lots.length === 0) return null;
  return (
    <ul class="list">
      {lots.map((lot) => (
        <li key={`${lot.delivery} ${lot.variety}`}>
          <OneLot lot={lot} most={most} />
        </li>
      ))}
    </ul>
  );
}

function OneLot({ lot, most }: { lot: Lot; most: number }) {
  const { supplier, variety, delivery } = farm.value;
  const today = localDay(new Date(now.value));
  const spread = lot.g_per_kg_wet;
  const from = supplier.get(lot.supplier)?.fields.name ?? "Supplier not here yet";
  const of = variety.get(lot.variety)?.fields.name ?? "variety not here yet";
  const here = delivery.has(lot.delivery);
  return (
    <a class="supplier" {...(here ? { href: `#/delivery/${lot.delivery}` } : {})}>
      <span class="names">
        <strong>
          {from}
          {lot.lot && `, lot ${lot.lot}`}
        </strong>
        {spread && (
          <span class="figure">
            {spread.median.toFixed(0)} <span class="unit">g per kg</span>
          </span>
        )}
      </span>
      {spread && <Range spread={spread} most={most} />}
      <span class="quiet small">{[of, dayWords(lot.received, today), ...countsWords(lot)].join(", ")}</span>
    </a>
  );
}

function countsWords({ blocks, finished, failed, g_per_kg_wet: spread, early }: Lot): string[] {
  if (!spread && early) return [count(blocks, "block"), early];
  const parts = [
    spread ? spreadWords(spread) : "",
    `${finished} of ${count(blocks, "block")} finished`,
    failed > 0 ? `${failed} without a harvest` : "",
  ];
  return parts.filter(Boolean);
}
