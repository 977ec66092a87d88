/** The last readings of a place as small lines: their range drawn first, then the line, the last one as a dot. */
import type { Standing } from "../../records/farm_view";
import type { Reading } from "../../records/types";

const MOST = 20; // the last so many
const WIDTH = 300;
const HEIGHT = 44;
const EDGE = 8; // room for the dot

type Measured = "temp_c" | "rh_pct" | "co2_ppm";
const UNITS: readonly (readonly [Measured, name: string, unit: string])[] = [
  ["temp_c", "Temperature", "°C"],
  ["rh_pct", "Humidity", "%"],
  ["co2_ppm", "Carbon dioxide", "ppm"],
];

export function ReadingLines({ readings }: { readings: readonly Standing<"reading">[] }) {
  return (
    <>
      {UNITS.map(([of, name, unit]) => {
        const measured = readings.map(({ fields }) => fields).filter((fields) => fields[of] !== null);
        return measured.length < 2 ? null : (
          <Line key={of} readings={measured.slice(-MOST)} of={of} name={name} unit={unit} />
        );
      })}
    </>
  );
}

interface Props {
  readings: readonly Reading[];
  of: Measured;
  name: string;
  unit: string;
}

function Line({ readings, of, name, unit }: Props) {
  const values = readings.map((reading) => reading[of] ?? 0);
  const times = readings.map(({ at }) => Date.parse(at));
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const [first = 0, last = 0] = [times[0], times.at(-1)];
  const x = (time: number) => EDGE + ((WIDTH - 2 * EDGE) * (time - first)) / Math.max(1, last - first);
  const y = (value: number) =>
    high === low ? HEIGHT / 2 : HEIGHT - EDGE - ((HEIGHT - 2 * EDGE) * (value - low)) / (high - low);
  const points = readings.map((reading) => [x(Date.parse(reading.at)), y(reading[of] ?? 0)] as const);
  const [end = [0, 0]] = points.slice(-1);
  return (
    <figure class="air">
      <figcaption class="small">
        <strong>{name}</strong> {low === high ? `${low} ${unit} each time` : `${low} to ${high} ${unit}`}
        <span class="quiet">, the last {readings.length}</span>
      </figcaption>
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} aria-hidden="true">
        <rect class="reach" x="0" width={WIDTH} y={y(high) - 2} height={y(low) - y(high) + 4} />
        <polyline class="went" points={points.map((point) => point.join(",")).join(" ")} />
        <circle class="dot" cx={end[0]} cy={end[1]} r="6" />
      </svg>
    </figure>
  );
}
