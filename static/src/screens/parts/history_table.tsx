/** A supplier's plain history as a table: each figure with the number of blocks it comes from. */
import { early_words, FEWEST_FINISHED, type Spread, type SupplierHistory } from "../../calc/suppliers";
import { count } from "../words";
import { spreadWords } from "./range";

type Line = readonly [name: string, figure: string, from: string];

export function HistoryTable({ name, history }: { name: string; history: SupplierHistory }) {
  const { received, finished, failed, contaminated } = history;
  const rows: Line[] = [
    ["Received", `${received}`, ""],
    ["Finished", `${finished}`, `of ${received}`],
    ["Without a harvest", `${failed}`, finished > 0 ? `of ${finished} finished` : "none finished yet"],
    ["Contaminated", `${contaminated}`, `of ${received}`],
    spreadLine(
      "Grams per kg wet",
      history.yield_g_per_kg_wet,
      "finished",
      early_words(history) || "no block yet",
    ),
    spreadLine("Biological efficiency, %", history.efficiency_pct, "finished", noEfficiency(history)),
    spreadLine("Days to first harvest", history.days_to_first_harvest, "picked", "no pick yet"),
  ];
  return (
    <table class="plain three-columns">
      <caption>{name}</caption>
      <thead class="unseen">
        <tr>
          <th scope="col">What</th>
          <th scope="col">Figure</th>
          <th scope="col">From</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(([what, figure, from]) => (
          <tr key={what}>
            <th scope="row">{what}</th>
            {figure && (
              <td class="number">
                <strong>{figure}</strong>
              </td>
            )}
            <td class="quiet small" colSpan={figure ? 1 : 2}>
              {from}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function noEfficiency({ finished, failed, unfinished }: SupplierHistory): string {
  if (finished >= FEWEST_FINISHED && failed > 0 && unfinished > 0) return "too early to say";
  return `fewer than ${FEWEST_FINISHED} finished blocks with a dry basis`;
}

function spreadLine(name: string, spread: Spread | null, of: string, none: string): Line {
  if (!spread) return [name, "", none];
  const from = [
    spreadWords(spread),
    `${count(spread.n, "block")} ${of}`,
    spread.n < FEWEST_FINISHED && "too few to tell",
  ];
  return [name, spread.median.toFixed(0), from.filter(Boolean).join(", ")];
}
