/** The drying curve as it grows, and the same as a table, where each weighing can be corrected. */
import type { DryingView } from "../../records/keeping_view";
import { stampWords } from "../dates";
import { mayPick, now } from "../here";
import { Where } from "../parts/where";
import { about, plain } from "./amounts";
import { curve, type Drawn, HEIGHT, lengthWords, type Weighed, WIDTH } from "./drying_curve";
import { expected, loadOf } from "./loads";

export function DryingCurve({ view }: { view: DryingView }) {
  const weighed = pointsOf(view);
  if (weighed.length < 2) return null;
  const estimate = expected(loadOf(view));
  const { points, band } = curve(weighed, estimate && [estimate.low, estimate.high]);
  const line = points.map(({ x, y }) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L");
  return (
    <figure>
      <svg
        class="curve"
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        role="img"
        aria-label="Drying curve; the table below has its numbers"
      >
        {band && (
          <rect class="reach" x="0" width={WIDTH} y={band[0]} height={Math.max(2, band[1] - band[0])} />
        )}
        <line class="axis" x1="0" x2={WIDTH} y1={HEIGHT - 26} y2={HEIGHT - 26} />
        <path class="line" d={`M${line}`} />
        {points.map((point, at) => (
          <Point key={at} point={point} first={at === 0} end={at === 0 || at === points.length - 1} />
        ))}
      </svg>
      {estimate && (
        <figcaption class="small quiet">
          Band: where it should end, {about(estimate).range}.{" "}
          {weighed.some(({ cooled }) => !cooled) && "Hollow: weighed warm."}
        </figcaption>
      )}
    </figure>
  );
}

function Point({ point, first, end }: { point: Drawn; first: boolean; end: boolean }) {
  const { x, y, named, cooled, grams, minutes } = point;
  return (
    <g class={end ? "end" : "between"}>
      <circle class={cooled ? "point" : "point warm"} cx={x} cy={y} r="5" />
      {named && (
        <text x={x} y={y - 11} text-anchor={anchor(x)}>
          {plain(grams)}
        </text>
      )}
      {named && (minutes >= 1 || first) && (
        <text class="time" x={x} y={HEIGHT - 8} text-anchor={anchor(x)}>
          {first ? "in" : lengthWords(minutes)}
        </text>
      )}
    </g>
  );
}

function anchor(x: number): "start" | "middle" | "end" {
  if (x < 40) return "start";
  return x > WIDTH - 40 ? "end" : "middle";
}

/** From what went in to the load as it came out. */
function pointsOf(view: DryingView): Weighed[] {
  const { started, ended, dry_g } = view.fields;
  const start = Date.parse(started);
  const since = (at: string) => (Date.parse(at) - start) / 60_000;
  const points: Weighed[] = view.weighings.map(({ fields: { at, mass_g, cooled } }) => ({
    minutes: since(at),
    grams: mass_g,
    cooled,
  }));
  if (view.wet_g > 0) points.unshift({ minutes: 0, grams: view.wet_g, cooled: true });
  const last = view.weighings.at(-1)?.fields;
  if (ended !== null && dry_g !== null && last?.mass_g !== dry_g)
    points.push({ minutes: since(ended), grams: dry_g, cooled: true });
  return points;
}

export function Weighings({ view }: { view: DryingView }) {
  if (view.weighings.length === 0) return null;
  return (
    <table class="plain weighings">
      <caption>Weighings</caption>
      <thead>
        <tr>
          <th scope="col">When</th>
          <th scope="col">Mass</th>
          <th scope="col">Lost since</th>
        </tr>
      </thead>
      <tbody>
        {view.weighings.map(({ id, fields, where }, at) => {
          const before = view.weighings[at - 1]?.fields.mass_g ?? view.wet_g;
          return (
            <tr key={id}>
              <th scope="row">
                {stampWords(fields.at, now.value)}
                {!fields.cooled && ", warm"} <Where at={where} />
              </th>
              <td>
                {mayPick.value ? (
                  <a href={`#/drying/${view.id}/${id}`}>{plain(fields.mass_g)}</a>
                ) : (
                  plain(fields.mass_g)
                )}
              </td>
              <td>{lost(before, fields.mass_g)}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

function lost(before: number, now_g: number): string {
  if (before === 0) return "";
  return now_g > before ? `rose ${plain(now_g - before)}` : plain(before - now_g);
}
