/** Suppliers compared fairly, by the server: one sentence on top, the intervals on one scale, and all that is behind them. */

import { signal } from "@preact/signals";
import { farm, isOwner } from "../here";
import { Doors } from "../parts/doors";
import { Select } from "../parts/field";
import { Frame } from "../parts/frame";
import { Teach } from "../parts/teach";
import { count } from "../words";
import { useAnswer } from "./ask";
import { Charts } from "./comparison_charts";
import { SupplierFigures } from "./comparison_supplier";
import { ComparisonTable } from "./comparison_table";
import { inOrder } from "./comparison_words";
import { Dated, NoAnswer } from "./dated";
import { LeftOut } from "./left_out";
import { PlainHistory } from "./plain";
import { type Comparison, has } from "./wire";

const variety = signal("");
const whole = has<Comparison>("suppliers", "pairs", "troubles");

export function Suppliers() {
  const grown = varieties();
  const chosen = grown.some(([id]) => id === variety.value) ? variety.value : "";
  const path = `/api/reports/comparison?variety=${chosen}`;
  const answer = useAnswer({ name: `comparison/${chosen}`, path, whole, zoned: true });
  const { said } = answer;
  if (farm.value.supplier.size === 0) {
    return (
      <Frame title="Suppliers">
        {isOwner.value ? (
          <Teach
            words="Suppliers come with a delivery. Write one down; once its blocks have given, you see here who is worth ordering from again."
            act="Write down a delivery"
            to="#/delivery"
          />
        ) : (
          <Teach words="No supplier yet. The owner of the farm writes down a delivery first." />
        )}
      </Frame>
    );
  }
  return (
    <Frame title="Suppliers">
      {grown.length > 1 && (
        <Select
          name="Compare"
          value={chosen}
          options={[["", "All varieties"], ...grown]}
          onPick={(id) => {
            variety.value = id;
          }}
        />
      )}
      {said ? (
        <Compared said={said} answer={answer} />
      ) : (
        <>
          <NoAnswer answer={answer} what="the comparison" />
          <PlainHistory variety={chosen} />
        </>
      )}
      <Doors to={[["#/season", "The season", "what came when, best and poorest lots, what was spent"]]} />
    </Frame>
  );
}

function Compared({ said, answer }: { said: Comparison; answer: ReturnType<typeof useAnswer<Comparison>> }) {
  const suppliers = inOrder(said.suppliers);
  const received = suppliers.reduce((sum, each) => sum + each.received, 0);
  return (
    <>
      <p class="lead">{said.sentence}</p>
      <div>
        {said.price_sentence && <p>{said.price_sentence}</p>}
        <Dated answer={answer} from={count(received, "block")} />
      </div>
      <Charts suppliers={suppliers} said={said} />
      <Chances said={said} />
      {suppliers.length > 0 && (
        <section>
          <h2>Behind the figures</h2>
          {suppliers.map((supplier) => (
            <SupplierFigures key={supplier.id} supplier={supplier} unit={said.unit} />
          ))}
          <ComparisonTable suppliers={suppliers} unit={said.unit} />
        </section>
      )}
      <LeftOut troubles={said.troubles} />
    </>
  );
}

/** So many pairs are read at a glance; more stand behind a tap. */
const AT_A_GLANCE = 3;

/** Each pair in the server's words; the sentence on top is one of them already. */
function Chances({ said }: { said: Comparison }) {
  const more = said.pairs.map(({ times }) => times.sentence).filter((words) => words !== said.sentence);
  if (more.length === 0) return null;
  const list = (
    <ul class="list">
      {more.map((words) => (
        <li class="line" key={words}>
          {words}
        </li>
      ))}
    </ul>
  );
  return (
    <section>
      <h2>Two by two</h2>
      {more.length <= AT_A_GLANCE ? (
        list
      ) : (
        <details>
          <summary>{more.length} more pairs</summary>
          {list}
        </details>
      )}
    </section>
  );
}

/** Those of which a block came from a supplier, by name. */
function varieties(): [string, string][] {
  const grown = new Map<string, string>();
  for (const { supplier, variety } of farm.value.block.values())
    if (supplier && variety) grown.set(variety.id, variety.fields.name);
  return [...grown].sort(([, a], [, b]) => a.localeCompare(b));
}
