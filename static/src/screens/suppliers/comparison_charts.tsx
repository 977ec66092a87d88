/** What a bought block brings and what a kilogram of it costs: the most fruitful supplier need not be the cheapest. */
import { Chart } from "./comparison_chart";
import { money, tooEarly, UNITS, yieldSaid } from "./comparison_words";
import type { Compared, Comparison } from "./wire";

const BRINGS: Record<Comparison["unit"], string> = {
  g_per_kg_wet: "Grams picked per kg of block as it arrived (kg wet)",
  efficiency_pct: "Grams picked per 100 g of the block's dry mass",
};

export function Charts({ suppliers, said }: { suppliers: readonly Compared[]; said: Comparison }) {
  const often = (100 * said.level).toFixed(0);
  return (
    <>
      <Chart
        name="What a bought block brings"
        hint={`${BRINGS[said.unit]}; blocks that give nothing counted in. Line: where it lies ${often} times in 100. Dot: its middle.`}
        suppliers={suppliers}
        of={({ expected }) => expected}
        unit={UNITS[said.unit]}
        say={yieldSaid}
        waits={tooEarly}
        linked
      />
      {currenciesOf(suppliers).map((currency) => (
        <Chart
          key={currency}
          name="What a fresh kg costs"
          hint="What the blocks cost, over all that they are likely to give. Further left is cheaper."
          suppliers={suppliers.filter((each) => each.currency === currency)}
          of={(each) => each.price_per_kg_fresh}
          unit={currency}
          say={money}
        />
      ))}
    </>
  );
}

/** One scale for each: kroner are not set against euros. Of whom no price is known nothing is drawn. */
function currenciesOf(suppliers: readonly Compared[]): string[] {
  const priced = suppliers.filter((each) => each.price_per_kg_fresh.value !== null);
  return [...new Set(priced.map(({ currency }) => currency))];
}
