/** One supplier's further figures behind one tap, and every block that stands behind them. */
import { farm } from "../here";
import { Figure, Named } from "../parts/figure";
import { Label } from "../parts/label";
import { count } from "../words";
import {
  behindInOrder,
  broughtWords,
  countedWords,
  countsWords,
  days,
  fromBlocks,
  likely,
  money,
  percent,
  reachOf,
  tooEarly,
  UNITS,
  yieldSaid,
} from "./comparison_words";
import type { Behind, Compared, Comparison, Figured } from "./wire";

interface Props {
  supplier: Compared;
  unit: Comparison["unit"];
}

export function SupplierFigures({ supplier, unit }: Props) {
  const { name, behind, currency } = supplier;
  return (
    <details class="behind-one">
      <summary>
        {name}: {count(behind.length, "block")}
      </summary>
      <p class="quiet small">{countsWords(supplier)}</p>
      <dl class="figures">
        <One
          name="When a block gives"
          of={supplier.typical}
          unit={UNITS[unit]}
          say={yieldSaid}
          waits={tooEarly(supplier)}
        />
        <One name="Blocks that give nothing" of={supplier.failures} unit="in 100" say={percent} />
        <One name="Until its first harvest" of={supplier.days_to_first_harvest} unit="days" say={days} />
        <One name="100 g dried cost" of={supplier.price_per_100_g_dried} unit={currency} say={money} />
      </dl>
      <ul class="list">
        {behindInOrder(behind).map((each) => (
          <Block key={each.block} behind={each} unit={unit} />
        ))}
      </ul>
    </details>
  );
}

interface OneProps {
  name: string;
  of: Figured;
  unit: string;
  say: (value: number) => string;
  /** blocks that this figure still waits for */
  waits?: number;
}

function One({ name, of, unit, say, waits }: OneProps) {
  const reach = reachOf(of);
  if (!reach) return <Named name={name} why={of.sentence} />;
  return (
    <Named name={name} why={`${likely(reach, say)}, ${fromBlocks(of, waits)}`}>
      <Figure digits={say(reach.value)} unit={unit} />
    </Named>
  );
}

function Block({ behind, unit }: { behind: Behind; unit: Comparison["unit"] }) {
  const { block, label, variety } = behind;
  const of = farm.value.variety.get(variety)?.fields.name;
  return (
    <li class="line">
      <a class="grow behind" href={`#/block/${block}`}>
        <span class="first">
          <Label code={label} />
          <strong>{broughtWords(behind, UNITS[unit])}</strong>
        </span>
        <span class="quiet small">{[of, countedWords(behind)].filter(Boolean).join(", ")}</span>
      </a>
    </li>
  );
}
