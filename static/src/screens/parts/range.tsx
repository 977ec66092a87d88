/** From the lowest to the highest block with a dot at the middle one, on a scale shared by the whole page. */
import type { Spread } from "../../calc/suppliers";

const WIDTH = 300;

export function Range({ spread, most }: { spread: Spread; most: number }) {
  const x = (value: number) => 8 + ((WIDTH - 16) * value) / most;
  return (
    <svg class="range" viewBox={`0 0 ${WIDTH} 20`} aria-hidden="true">
      <line class="axis" x1="8" x2={WIDTH - 8} y1="10" y2="10" />
      <line class="reach" x1={x(spread.low)} x2={x(spread.high)} y1="10" y2="10" />
      <circle class="middle" cx={x(spread.median)} cy="10" r="7" />
    </svg>
  );
}

export function spreadWords({ low, high, n }: Spread, places = 0): string {
  const [from, to] = [low.toFixed(places), high.toFixed(places)];
  return n === 1 || from === to ? "" : `${from} to ${to}`;
}
