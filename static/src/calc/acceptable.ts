/** Which numbers a calculation takes; each check returns the number or throws its named error. */
import {
  BelowZero,
  IsZero,
  MoistureOutOfRange,
  NotAFlush,
  NotANumber,
  OutOfReach,
  RangeUpsideDown,
} from "./errors";

export function number(label: string, value: unknown): number {
  if (typeof value !== "number" || !Number.isFinite(value))
    throw new NotANumber(`The ${label} is ${value}: give a number.`);
  return value;
}

export function zero_or_more(label: string, value: unknown): number {
  const checked = number(label, value);
  if (checked < 0) throw new BelowZero(`The ${label} is ${checked}: it cannot be below zero.`);
  return checked;
}

export function above_zero(label: string, value: unknown): number {
  const checked = zero_or_more(label, value);
  if (checked === 0)
    throw new IsZero(`The ${label} is 0: give the figure, or leave it out if it is not known.`);
  return checked;
}

export function moisture(label: string, value: unknown): number {
  const checked = number(label, value);
  if (checked < 0 || checked >= 100)
    throw new MoistureOutOfRange(
      `The ${label} is ${checked} %: it lies from 0 up to, but not at, 100 % of the wet mass.`,
    );
  return checked;
}

export function moisture_range(low: unknown, high: unknown): [number, number] {
  const ends: [number, number] = [moisture("lowest moisture", low), moisture("highest moisture", high)];
  if (ends[0] > ends[1])
    throw new RangeUpsideDown(`The lowest moisture, ${low} %, is above the highest, ${high} %: swap them.`);
  return ends;
}

export function flush_number(value: unknown): number {
  if (typeof value !== "number" || !Number.isInteger(value) || value < 1)
    throw new NotAFlush(`Flush ${value} is no flush: they are numbered 1, 2, 3.`);
  return value;
}

export function grams_by_flush(value: Readonly<Record<number, number>>): [flush: number, grams: number][] {
  return Object.entries(value).map(([flush, grams]) => [
    flush_number(Number(flush)),
    zero_or_more(`mass of flush ${flush}`, grams),
  ]);
}

/** What came out, unless the numbers were too far apart for it to be a number. */
export function result(label: string, value: number): number {
  if (!Number.isFinite(value))
    throw new OutOfReach(`The ${label} is beyond all numbers: check the figures it comes from.`);
  return value;
}
