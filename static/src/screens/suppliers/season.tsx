/** The season: what came when, in which flush, from which lots, and what was spent. Worked out by the server. */

import { signal } from "@preact/signals";
import { FlushBars } from "../parts/flush_bars";
import { Frame } from "../parts/frame";
import { count } from "../words";
import { useAnswer } from "./ask";
import { Dated, NoAnswer } from "./dated";
import { LeftOut } from "./left_out";
import { SeasonDays, type Span } from "./season_days";
import { Lots } from "./season_lots";
import { Weeks } from "./season_weeks";
import { has, type Season } from "./wire";

/** null: the last twelve months, which the server counts back from its today. */
const span = signal<Span | null>(null);
const whole = has<Season>("weeks", "varieties", "lots", "spent", "troubles");

export function SeasonScreen() {
  const chosen = span.value;
  const path = `/api/reports/season${chosen ? `?from=${chosen.from}&to=${chosen.to}` : ""}`;
  const name = chosen ? "season of chosen days" : "season";
  const answer = useAnswer({ name, path, whole, zoned: true });
  const { said } = answer;
  const shown = said ?? chosen ?? { from: "", to: "" };
  return (
    <Frame title="The season" from="#/suppliers">
      <SeasonDays
        key={`${shown.from} ${shown.to}`}
        shown={shown}
        onChoose={(days) => {
          span.value = days;
        }}
      />
      {said ? <Told said={said} answer={answer} /> : <NoAnswer answer={answer} what="the season" />}
    </Frame>
  );
}

function Told({ said, answer }: { said: Season; answer: ReturnType<typeof useAnswer<Season>> }) {
  return (
    <>
      <div>
        <p class="lead">{said.sentence}</p>
        <Dated answer={answer} />
      </div>
      {said.weeks.length > 0 && <Weeks season={said} />}
      <FlushBars title="By flush" shares={said.flush_shares} />
      <Lots lots={said.lots} />
      <Spent spent={said.spent} />
      <LeftOut troubles={said.troubles} />
    </>
  );
}

function deliveriesWords(all: number, without: number): string {
  const counted = count(all, "delivery", "deliveries");
  if (without === 0) return counted;
  return without === all ? `${counted} without a price` : `${counted}, ${without} of them without a price`;
}

function Spent({ spent }: Pick<Season, "spent">) {
  if (spent.length === 0) return null;
  // What was paid comes before what nobody wrote a price on.
  const paid = ({ without_price, deliveries }: (typeof spent)[number]) =>
    without_price < deliveries ? 0 : 1;
  const paidFirst = [...spent].sort((a, b) => paid(a) - paid(b));
  return (
    <section>
      <h2>Spent on blocks</h2>
      <ul class="list">
        {paidFirst.map(({ currency, total, deliveries, without_price }) => (
          <li class="line" key={currency}>
            {without_price < deliveries && (
              <span class="figure">
                {total} <span class="unit">{currency || "currency not noted"}</span>
              </span>
            )}
            <span class="quiet">{deliveriesWords(deliveries, without_price)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}
