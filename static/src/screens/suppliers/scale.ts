/** The arithmetic of the charts: one scale from 0, a few round ticks, places in percent of the width. */

/** Where a middle stands far below the end of its interval, the scale ends before it: else all others were squeezed. */
const MOST_TIMES_THE_MIDDLE = 3;

export interface Reach {
  value: number;
  low: number;
  high: number;
}

export interface Scale {
  top: number;
  /** from 0 on, each within the scale */
  ticks: readonly number[];
}

/** A scale on which every middle stands, and every interval unless it is far too long. */
export function scaleOf(reaches: readonly Reach[], fewest = 1): Scale {
  const middle = Math.max(0, ...reaches.map(({ value }) => value));
  const end = Math.max(0, ...reaches.map(({ high }) => high));
  const top = Math.max(fewest, Math.min(end, MOST_TIMES_THE_MIDDLE * middle || end));
  return { top, ticks: ticksTo(top) };
}

/** 0 and two to five round numbers up to `top`, which is above 0. */
export function ticksTo(top: number): number[] {
  const step = stepFor(top);
  const count = Math.floor(top / step + 1e-9);
  return Array.from({ length: count + 1 }, (_, at) => Number((at * step).toPrecision(12)));
}

/** 1, 2 or 5 times a power of ten: the smallest that goes into `top` at most five times. */
function stepFor(top: number): number {
  const ten = 10 ** Math.floor(Math.log10(top / 5));
  return [1, 2, 5, 10].map((times) => times * ten).find((step) => top / step <= 5) ?? 10 * ten;
}

/** The place of a value on the scale, as SVG takes it; beyond the end it stands at the end. */
export function placeOf(value: number, { top }: Scale): string {
  return `${((100 * Math.min(Math.max(value, 0), top)) / top).toFixed(2)}%`;
}

/** Whether the value lies beyond the end of the scale. */
export function isBeyond(value: number, { top }: Scale): boolean {
  return value > top;
}
