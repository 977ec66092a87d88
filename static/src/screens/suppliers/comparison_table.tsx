/** The same figures as a table, for whoever reads or hears numbers better than dots. */
import { days, likely, money, percent, reachOf, UNITS, yieldSaid } from "./comparison_words";
import type { Compared, Comparison, Figured } from "./wire";

interface Measure {
  name: string;
  of: (supplier: Compared) => Figured;
  say: (value: number) => string;
  unit: (supplier: Compared) => string;
}

interface Props {
  suppliers: readonly Compared[];
  unit: Comparison["unit"];
}

export function ComparisonTable({ suppliers, unit }: Props) {
  return (
    <details>
      <summary>All suppliers as a table</summary>
      <table class="plain compared">
        <thead>
          <tr>
            <th scope="col">Supplier</th>
            <th scope="col">Middle</th>
            <th scope="col">Likely</th>
            <th scope="col">Blocks</th>
          </tr>
        </thead>
        {measures(UNITS[unit]).map((measure) => (
          <tbody key={measure.name}>
            <tr>
              <th scope="rowgroup" colSpan={4}>
                {measure.name}
              </th>
            </tr>
            {suppliers.map((supplier) => (
              <Line key={supplier.id} supplier={supplier} measure={measure} />
            ))}
          </tbody>
        ))}
      </table>
    </details>
  );
}

function Line({ supplier, measure }: { supplier: Compared; measure: Measure }) {
  const figure = measure.of(supplier);
  const reach = reachOf(figure);
  return (
    <tr>
      <th scope="row">{supplier.name}</th>
      {reach ? (
        <>
          <td>
            {measure.say(reach.value)} {measure.unit(supplier)}
          </td>
          <td>{likely(reach, measure.say).replace("likely ", "")}</td>
          <td>{figure.n}</td>
        </>
      ) : (
        <td colSpan={3}>{figure.sentence}</td>
      )}
    </tr>
  );
}

function measures(unit: string): Measure[] {
  const none = () => "";
  const paid = ({ currency }: Compared) => currency;
  return [
    { name: `A bought block, ${unit}`, of: ({ expected }) => expected, say: yieldSaid, unit: none },
    { name: `When a block gives, ${unit}`, of: ({ typical }) => typical, say: yieldSaid, unit: none },
    { name: "Blocks that give nothing, in 100", of: ({ failures }) => failures, say: percent, unit: none },
    {
      name: "Until the first harvest, days",
      of: (each) => each.days_to_first_harvest,
      say: days,
      unit: none,
    },
    { name: "Price of a kg fresh", of: (each) => each.price_per_kg_fresh, say: money, unit: paid },
    { name: "Price of 100 g dried", of: (each) => each.price_per_100_g_dried, say: money, unit: paid },
  ];
}
