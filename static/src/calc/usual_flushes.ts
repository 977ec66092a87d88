/** What is usual of flushes before a farm has any, and how a farm's own bend it. Sources, validity: as harvestlog/calc/usual_flushes.py, on the same examples. */
import { type Crop, log_waits, log_yields, type Wait } from "./crops";
import { sum } from "./estimates";
import { type Next, next_value } from "./next_value";
import { log_middle, log_sd, type Range } from "./ranges";

const AS_USUAL = 3; // flushes that count as usual beside the farm's own of one number

/** What is usual of a variety; `basis` names where from. See the server's FlushPrior for each field. */
export interface FlushPrior {
  first_days: Range;
  rested_days: Range;
  soaked_days: Range;
  pin_days: Range | null;
  yield_g_per_kg_wet: Range;
  shares: readonly number[];
  nothing_after: readonly number[];
  nothing_worth: number;
  wait_sd: number;
  mass_sd: number;
  worth: number;
  wait_alike: number;
  mass_alike: number;
  basis: string;
}

export const USUAL: FlushPrior = {
  first_days: [8, 25],
  rested_days: [7, 14],
  soaked_days: [6, 13],
  pin_days: null,
  yield_g_per_kg_wet: [100, 350],
  shares: [0.488, 0.317, 0.195],
  nothing_after: [0.1, 0.15, 0.4, 0.65, 0.8],
  nothing_worth: 4,
  wait_sd: 0.3,
  mass_sd: 0.4,
  worth: 4,
  wait_alike: 0.3,
  mass_alike: 0.5,
  basis: "usual range",
};

// For 4 to 7 days from pins to harvest these two give the first days of all species themselves.
const BEFORE_PINS = 4;
const PINS_AND_TO_SPARE = 18;
const SOAK_SAVES = 1;
const NARROWEST = 1.5; // a range of days narrower than this is one farm's: it is widened about its middle (judgement, no source)

/** What is usual of a species, from ranges of days above 0: to the first crop, from pins to harvest, between flushes; null where not known. */
export function flush_prior(
  first_days: Range | null = null,
  pin_days: Range | null = null,
  between_days: Range | null = null,
): FlushPrior {
  const prior = { ...USUAL, pin_days };
  if (first_days) prior.first_days = wide(first_days);
  else if (pin_days) prior.first_days = wide([pin_days[0] + BEFORE_PINS, pin_days[1] + PINS_AND_TO_SPARE]);
  if (between_days) {
    const [low, high] = wide(between_days);
    prior.rested_days = [low, high];
    prior.soaked_days = [Math.max(low - SOAK_SAVES, 1), Math.max(high - SOAK_SAVES, 1)];
  }
  return prior;
}

function wide([low, high]: Range): Range {
  if (high >= NARROWEST * low) return [low, high];
  const [middle, half] = [Math.sqrt(low * high), Math.sqrt(NARROWEST)];
  return [middle / half, middle * half];
}

/** Usual share of flush `number` in the whole harvest; past the last one known it falls on at the same rate. */
export function share(prior: FlushPrior, number: number): number {
  const known = [1, ...prior.shares];
  const [before = 1, last = 1] = known.slice(-2);
  return known[number] ?? last * (last / before) ** (number - prior.shares.length);
}

/** Log days to the next flush after such a wait, and how many of the farm's waits it rests on. */
export function log_wait(
  block: Crop,
  others: readonly Crop[],
  kind: Wait,
  prior: FlushPrior,
): [Next, number] {
  const usual = { first: prior.first_days, rested: prior.rested_days, soaked: prior.soaked_days }[kind];
  const own = log_waits(block, kind);
  const rows = others.map((each) => log_waits(each, kind));
  const expected = {
    centre: log_middle(usual),
    between: log_sd(usual),
    within: prior.wait_sd,
    worth: prior.worth,
    alike: prior.wait_alike,
  };
  return [next_value(own, rows, expected), sum([own, ...rows].map((row) => row.length))];
}

/** Log g per kg wet of flush `number`, and how many of the farm's flushes it rests on. */
export function log_mass(
  block: Crop,
  others: readonly Crop[],
  number: number,
  prior: FlushPrior,
): [Next, number] {
  const expected = {
    centre: log_middle(prior.yield_g_per_kg_wet),
    between: log_sd(prior.yield_g_per_kg_wet),
    within: prior.mass_sd,
    worth: prior.worth,
    alike: prior.mass_alike,
  };
  const rows = [block, ...others].map((each) =>
    log_yields(each).map(([k, y]): [number, number] => [k, y - Math.log(share(prior, k))]),
  );
  const plain = rows.map((row) => row.map(([, y]) => y));
  const lift = lift_of(rows, next_value([], plain, expected).centre);
  const [own = [], ...rest] = rows.map((row) => row.map(([k, y]) => y - (lift.get(k) ?? 0)));
  const shift = Math.log(share(prior, number)) + (lift.get(number) ?? 0);
  return [next_value(own, rest, expected).shifted(shift), sum(rows.map((row) => row.length))];
}

/** By how much the flushes of each number lie above the farm's level, as if AS_USUAL more lay on it. */
function lift_of(rows: readonly (readonly [number, number][])[], typical: number): Map<number, number> {
  const above = new Map<number, number[]>();
  for (const [number, y] of rows.flat()) {
    const found = above.get(number);
    if (found) found.push(y - typical);
    else above.set(number, [y - typical]);
  }
  return new Map([...above].map(([number, found]) => [number, sum(found) / (found.length + AS_USUAL)]));
}

/** Chance that a block with so many flushes is over without another: the usual one and the farm's blocks'. */
export function nothing_after(flushes: number, others: readonly Crop[], prior: FlushPrior): number {
  const usual = prior.nothing_after[Math.min(flushes, prior.nothing_after.length - 1)] ?? 0;
  const ended = others.filter((each) => each.over && each.flushes.length === flushes).length;
  const went_on = others.filter((each) => each.flushes.length > flushes).length;
  return (prior.nothing_worth * usual + ended) / (prior.nothing_worth + ended + went_on);
}
