/** Grams by week: one small chart for each variety, all on one scale, and the weeks as a table. */
import { dayWords, localDay } from "../dates";
import { mass, now } from "../here";
import { MassFigure } from "../parts/figure";
import { count } from "../words";
import type { Season } from "./wire";

/** A column is never wider than in a chart of so many weeks. */
const FEWEST_WEEKS = 12;

type Variety = Season["varieties"][number];

export function Weeks({ season }: { season: Season }) {
  const { weeks, varieties } = season;
  const most = Math.max(1, ...weeks.flatMap(({ varieties: grams }) => Object.values(grams)));
  return (
    <section>
      <h2>By week</h2>
      {varieties.length > 1 && <p class="quiet small">Every variety on the same scale.</p>}
      {varieties.map((variety) => (
        <OfVariety key={variety.id} variety={variety} weeks={weeks} most={most} />
      ))}
      <details>
        <summary>The weeks as a table</summary>
        <WeekTable season={season} />
      </details>
    </section>
  );
}

interface OfVarietyProps {
  variety: Variety;
  weeks: Season["weeks"];
  most: number;
}

function OfVariety({ variety, weeks, most }: OfVarietyProps) {
  const { id, name, fresh_g, dried_g, blocks, picks } = variety;
  const today = localDay(new Date(now.value));
  const grams = weeks.map(({ varieties }) => varieties[id] ?? 0);
  const width = Math.max(weeks.length, FEWEST_WEEKS);
  const best = grams.indexOf(Math.max(...grams));
  const dried = dried_g !== null && dried_g > 0 ? `; what was dried came to ${mass(dried_g)}` : "";
  return (
    <section class="weeks">
      <div class="names">
        <h3>{name}</h3>
        <MassFigure grams={fresh_g} />
      </div>
      <svg class="columns" viewBox={`0 0 ${width} 40`} preserveAspectRatio="none" aria-hidden="true">
        <line class="ground" x1="0" x2={width} y1="40" y2="40" />
        {grams.map((each, at) => {
          const height = (40 * each) / most;
          const { monday } = weeks[at] ?? { monday: "" };
          return <rect key={monday} class="full" x={at + 0.1} y={40 - height} width="0.8" height={height} />;
        })}
      </svg>
      <Ends weeks={weeks} />
      <p class="quiet small">
        {count(picks, "pick")} from {count(blocks, "block")}
        {dried}. Most in the week of {dayWords(weeks[best]?.monday ?? today, today)}: {mass(grams[best] ?? 0)}
        .
      </p>
    </section>
  );
}

function Ends({ weeks }: Pick<Season, "weeks">) {
  const today = localDay(new Date(now.value));
  const [first, last] = [weeks[0], weeks.at(-1)];
  if (!first || !last) return null;
  return (
    <p class="ends quiet small" aria-hidden="true">
      <span>{dayWords(first.monday, today)}</span>
      {weeks.length >= FEWEST_WEEKS && <span>{dayWords(last.monday, today)}</span>}
    </p>
  );
}

/** Only weeks with a pick, the latest first. */
function WeekTable({ season: { weeks, varieties } }: { season: Season }) {
  const today = localDay(new Date(now.value));
  const picked = weeks.filter((week) => Object.values(week.varieties).some((grams) => grams > 0)).reverse();
  return (
    <table class="plain">
      <thead>
        <tr>
          <th scope="col">Week of</th>
          <th scope="col">Picked</th>
        </tr>
      </thead>
      <tbody>
        {picked.map((week) => (
          <tr key={week.monday}>
            <th scope="row">{dayWords(week.monday, today)}</th>
            <td>
              {varieties
                .filter(({ id }) => (week.varieties[id] ?? 0) > 0)
                .map(({ id, name }) => (
                  <div key={id}>
                    {name} {mass(week.varieties[id] ?? 0)}
                  </div>
                ))}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
