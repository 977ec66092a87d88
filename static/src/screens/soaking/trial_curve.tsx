/** A soaking trial drawn: its weighings as dots, and the curve through them where one was accepted. */
import { ratio_at } from "../../calc/trials";
import { minutesWords, type TrialFacts } from "./trial_facts";

const WIDTH = 320;
const HEIGHT = 180; // of the plot; the minutes stand below it
const BELOW = 36;
const EDGE = 8; // room for half a dot
const STEPS = 40; // pieces of the drawn curve

export function Curve({ facts }: { facts: TrialFacts }) {
  const { points, curve, nearly, longest } = facts;
  const weighed = points.flatMap(({ minutes, ratio }) => (ratio === null ? [] : [{ minutes, ratio }]));
  if (weighed.length === 0) return null;
  const end = nearly === null ? longest : Math.max(longest, Math.min(nearly, 2 * longest));
  const last = Math.max(1, end);
  const top = Math.max(2, ...weighed.map(({ ratio }) => ratio)) * 1.12;
  const x = (minutes: number) => EDGE + ((WIDTH - 2 * EDGE) * minutes) / last;
  const y = (ratio: number) => HEIGHT - ((HEIGHT - 8) * (ratio - 1)) / (top - 1);
  const path = (from: number, to: number) =>
    curve &&
    Array.from({ length: STEPS + 1 }, (_, at) => from + ((to - from) * at) / STEPS)
      .map((t, at) => `${at === 0 ? "M" : "L"}${x(t).toFixed(1)} ${y(ratio_at(curve, t)).toFixed(1)}`)
      .join("");
  return (
    <figure class="soaked">
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT + BELOW}`} role="img" aria-label={drawn(facts)}>
        <line class="axis" x1="0" x2={WIDTH} y1={HEIGHT} y2={HEIGHT} />
        <Levels top={top} y={y} end={weighed.at(-1)?.ratio ?? top} />
        {nearly !== null && nearly <= last && (
          <line class="mark-line" x1={x(nearly)} x2={x(nearly)} y1="0" y2={HEIGHT} />
        )}
        {curve && <path class="fitted" d={path(0, longest) ?? ""} />}
        {curve && longest < last && <path class="fitted beyond" d={path(longest, last) ?? ""} />}
        <circle class="dry" cx={x(0)} cy={y(1)} r="5" />
        {weighed.map(({ minutes, ratio }) => (
          <circle key={minutes} class="dot" cx={x(minutes)} cy={y(ratio)} r="6" />
        ))}
        <text x="0" y={HEIGHT + BELOW - 8}>
          0
        </text>
        <text x={WIDTH} y={HEIGHT + BELOW - 8} text-anchor="end">
          {minutesWords(last)}
        </text>
        {nearly !== null && nearly > 0.2 * last && nearly < 0.72 * last && (
          <text class="strong" x={x(nearly)} y={HEIGHT + BELOW - 8} text-anchor="middle">
            {minutesWords(nearly)}
          </text>
        )}
      </svg>
      <figcaption class="small quiet">
        Drained mass in times the dry mass, over time
        {curve ? ". The line is Peleg's curve through your weighings" : ""}
        {curve && longest < last ? ", dashed beyond them" : ""}.
      </figcaption>
    </figure>
  );
}

/** Two or three lines of whole ratios, their number where the curve does not run: low ones below its end, high ones above its start. */
function Levels({ top, y, end }: { top: number; y: (ratio: number) => number; end: number }) {
  const step = Math.max(1, Math.round(top / 3));
  const levels = [1, 2, 3].map((n) => 1 + n * step).filter((level) => level < top - 0.15 * (top - 1));
  return (
    <>
      {levels.map((level) => (
        <g key={level}>
          <line class="level" x1="0" x2={WIDTH} y1={y(level)} y2={y(level)} />
          <text
            x={level < 0.8 * end ? WIDTH : 0}
            y={y(level) - 4}
            text-anchor={level < 0.8 * end ? "end" : "start"}
          >
            {level} times
          </text>
        </g>
      ))}
    </>
  );
}

function drawn({ points, curve, nearly }: TrialFacts): string {
  const count = points.length === 1 ? "One weighing" : `${points.length} weighings`;
  if (!curve || nearly === null) return `${count}, no curve through them yet.`;
  return `${count} and a curve that has nearly levelled off after ${minutesWords(nearly)}. The table below has the figures.`;
}
