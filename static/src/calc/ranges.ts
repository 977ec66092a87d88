/** What is usual of a figure, as a range that most farms lie in. Validity: as harvestlog/calc/ranges.py. */

/** Nine farms in ten between the two, both above 0, in the unit of the figure. */
export type Range = readonly [low: number, high: number];

const NINE_OF_TEN = 1.6448536269514722; // half width, in standard deviations, of the middle 90 % of a normal distribution

export function log_middle([low, high]: Range): number {
  return (Math.log(low) + Math.log(high)) / 2;
}

/** Never below 0.1: no published range is that sure of the next farm. */
export function log_sd([low, high]: Range): number {
  return Math.max(0.1, (Math.log(high) - Math.log(low)) / (2 * NINE_OF_TEN));
}
