/** Estimates in words: no finer than their interval allows. */
import type { Estimate } from "../../calc/estimates";
import { mass, massParts } from "../here";

/** "118 g" and "104 to 133 g"; the interval's width says how finely either may be given. */
export function about({ value, low, high }: Estimate): { value: string; range: string } {
  const step = 10 ** Math.floor(Math.log10(Math.max((high - low) / 4, 0.1)));
  const rounded = (grams: number) => Math.max(step, Math.round(grams / step) * step);
  return { value: plain(rounded(value)), range: span(rounded(low), rounded(high)) };
}

/** Whether both sides of it were weighed: then it has no range, and only a mixed load's mean is "about". */
export function isWeighed({ low, high }: Estimate): boolean {
  return low === high;
}

function span(low: number, high: number): string {
  const [from, to] = [massParts(low), massParts(high)];
  const one = from.length === 1 && to.length === 1 && from[0]?.[1] === to[0]?.[1];
  return one ? `${bare(from[0]?.[0] ?? "")} to ${plain(high)}` : `${plain(low)} to ${plain(high)}`;
}

/** "1.1 kg", where "1.10 kg" would claim more than is known. */
export function plain(grams: number): string {
  return mass(grams).split(" ").map(bare).join(" ");
}

function bare(digits: string): string {
  return /\.[0-9]*0$/.test(digits) ? digits.replace(/\.?0+$/, "") : digits;
}
