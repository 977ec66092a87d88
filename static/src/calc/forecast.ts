/** When a block's next flush comes, what it weighs, and whether it comes at all. How, validity: as harvestlog/calc/forecast.py, on the same examples. */
import { type Crop, starts } from "./crops";
import { days_between } from "./days";
import { sum } from "./estimates";
import { later_day } from "./later_day";
import type { Next } from "./next_value";
import { type FlushPrior, log_mass, log_wait, nothing_after, USUAL } from "./usual_flushes";

export { type Crop, crop, type Flush } from "./crops";
export { type FlushPrior, flush_prior, USUAL } from "./usual_flushes";

const HELD = 0.8; // of the chance lies in a range
const OUTER = (1 - HELD) / 2;
const LEFT_OUT_BELOW = Array.from({ length: 10 }, (_, i) => i / 50); // shares below a range of days: the starts it is tried from
const LONGEST_DAYS = 400; // a wait is never put beyond this, or twice what it has taken
const SURELY_PAST = 0.999; // beyond this share of all waits the distribution says nothing of the days left
const NAMED_ALONE = 4; // from so many of one's own on, what is usual is no longer named
const EVEN_SHARES = Array.from({ length: 20 }, (_, i) => (i + 0.5) / 20);

/** The middle and two ends with 80 % of the chance between them; n flushes of the farm it rests on, in words in `basis`. */
export interface Likely {
  value: number;
  low: number;
  high: number;
  n: number;
  basis: string;
}

/**
 * The next flush: its number, the days of its first pick and its grams if it comes, and the chance of nothing.
 * days: counted from `since`; null, as the three dates, without a first day. grams: null without a wet mass.
 * pinned: pins or caps stand; `since` is then the day they were first seen, and chance_of_nothing is null.
 * Of a block that is over there is only the chance of nothing, 1, and `basis` says so.
 */
export interface NextFlush {
  flush: number;
  since: string | null;
  days: Likely | null;
  first_day: string | null;
  likely_day: string | null;
  last_day: string | null;
  grams: Likely | null;
  chance_of_nothing: number | null;
  basis: string;
  pinned: boolean;
}

/** What soaking a block now is to bring: grams with the chance of nothing in them, and the days from now to the first pick. new_block_g_per_day: what the farm's finished blocks of the variety gave for each day from their first day to their last pick. */
export interface AnotherSoak {
  grams: Likely | null;
  days: Likely;
  chance_of_nothing: number;
  g_per_day: number | null;
  new_block_g_per_day: number | null;
}

/** Forecast of a block's next flush, seen from the day its history ends. farm_history: the farm's other blocks, or all; those of other varieties, and this one, are left out. */
export function next_flush(
  block_history: Crop,
  farm_history: readonly Crop[],
  prior: FlushPrior = USUAL,
): NextFlush {
  const block = block_history;
  const others = others_of(block, farm_history);
  if (block.over) return nothing_more(next_number(block), "the block is over");
  if (block.pins) return from_pins(block.pins, next_number(block), grams_of(block, others, prior), prior);
  const [kind, since] = starts(block)[block.flushes.length] ?? ["first", null];
  const [wait, n] = log_wait(block, others, kind, prior);
  const waited = since === null ? 0 : Math.max(days_between(since, block.watched_to), 0);
  const days = days_left(wait, waited, n, prior);
  const nothing = nothing_after(block.flushes.length, others, prior);
  const left = Math.max(1 - past_share(wait, waited), 1e-6);
  const day = (after: number): string | null => since && later_day(since, Math.floor(after + 0.5));
  return {
    flush: next_number(block),
    since,
    days: since === null ? null : days,
    first_day: day(days.low),
    likely_day: day(days.value),
    last_day: day(days.high),
    grams: grams_of(block, others, prior),
    chance_of_nothing: nothing / (nothing + (1 - nothing) * left),
    basis: days.basis,
    pinned: false,
  };
}

/** Grams and days to be expected if a block is soaked now, against what a new block gives for a day of standing. null for a block that is over, or has given no flush to follow. */
export function worth_another_soak(
  block_history: Crop,
  farm_history: readonly Crop[],
  prior: FlushPrior = USUAL,
  soak_days = 1,
): AnotherSoak | null {
  const block = block_history;
  if (block.over || block.flushes.length === 0) return null;
  const others = others_of(block, farm_history);
  const [wait, n] = log_wait(block, others, "soaked", prior);
  const dry = days_left(wait, 0, n, prior);
  const days = {
    ...dry,
    value: dry.value + soak_days,
    low: dry.low + soak_days,
    high: dry.high + soak_days,
  };
  const nothing = nothing_after(block.flushes.length, others, prior);
  const grams = with_nothing(block, others, nothing, prior);
  return {
    grams,
    days,
    chance_of_nothing: nothing,
    g_per_day: grams && grams.value / days.value,
    new_block_g_per_day: g_per_day(others),
  };
}

function nothing_more(flush: number, basis: string): NextFlush {
  const unsaid = { since: null, days: null, first_day: null, likely_day: null, last_day: null, grams: null };
  return { flush, ...unsaid, chance_of_nothing: 1, basis, pinned: false };
}

/** Pins stand: the flush has begun, and only what is usual from pins to picking is left to wait. */
function from_pins(since: string, flush: number, grams: Likely | null, prior: FlushPrior): NextFlush {
  const seen = { flush, since, grams, chance_of_nothing: null, pinned: true };
  if (prior.pin_days === null) {
    const unsaid = { days: null, first_day: null, likely_day: null, last_day: null };
    return { ...seen, ...unsaid, basis: "pins that stand there" };
  }
  const [low, high] = prior.pin_days;
  const basis = "what is usual from pins to picking";
  const days = { value: (low + high) / 2, low, high, n: 0, basis };
  const day = (after: number): string => later_day(since, Math.floor(after + 0.5));
  return {
    ...seen,
    days,
    first_day: day(low),
    likely_day: day(days.value),
    last_day: day(high),
    basis,
  };
}

function next_number(block: Crop): number {
  return (block.flushes[block.flushes.length - 1]?.number ?? 0) + 1;
}

function others_of(block: Crop, farm: readonly Crop[]): Crop[] {
  return farm.filter((each) => each !== block && each.variety === block.variety);
}

function grams_of(block: Crop, others: readonly Crop[], prior: FlushPrior): Likely | null {
  const kg = (block.wet_g ?? 0) / 1000;
  if (kg <= 0) return null;
  const [mass, n] = log_mass(block, others, next_number(block), prior);
  const at = (share: number): number => kg * Math.exp(mass.at(share));
  return { value: at(0.5), low: at(OUTER), high: at(1 - OUTER), n, basis: basis(n, prior.basis) };
}

/** Grams with the chance of none among them: their mean, and the middle 80 %. */
function with_nothing(
  block: Crop,
  others: readonly Crop[],
  nothing: number,
  prior: FlushPrior,
): Likely | null {
  const usual = grams_of(block, others, prior);
  if (usual === null) return null;
  const [mass] = log_mass(block, others, next_number(block), prior);
  const at = (share: number): number => ((block.wet_g ?? 0) / 1000) * Math.exp(mass.at(share));
  const left = (share: number): number => (share > nothing ? at((share - nothing) / (1 - nothing)) : 0);
  const mean = sum(EVEN_SHARES.map(at)) / EVEN_SHARES.length;
  return { ...usual, value: (1 - nothing) * mean, low: left(OUTER), high: left(1 - OUTER) };
}

/** Grams for each day of standing, from the first day to the last pick, over the finished blocks. */
function g_per_day(others: readonly Crop[]): number | null {
  let [grams, days] = [0, 0];
  for (const { over, since, flushes } of others) {
    const last = flushes[flushes.length - 1];
    if (!over || since === null || last === undefined) continue;
    days += days_between(since, last.last);
    grams += sum(flushes.map((flush) => flush.grams));
  }
  return days > 0 ? grams / days : null;
}

/** The chance that a wait is over within so many days. */
function past_share(wait: Next, waited: number): number {
  return waited > 0 ? wait.below(Math.log(waited + 0.5)) : 0;
}

/** Middle and shortest range of the days a wait may take, once it has taken `waited` days. */
function days_left(wait: Next, waited: number, n: number, prior: FlushPrior): Likely {
  const past = Math.min(past_share(wait, waited), SURELY_PAST);
  const longest = Math.log(Math.max(LONGEST_DAYS, 2 * waited));
  const day = (share: number): number => {
    const at = past + share * (1 - past);
    return Math.max(at > 0 ? Math.exp(Math.min(wait.at(at), longest)) : 0, waited > 0 ? waited + 0.5 : 0);
  };
  const ranges = LEFT_OUT_BELOW.map((below): [number, number] => [day(below), day(below + HELD)]);
  const [low, high] = ranges.reduce((best, ends) => (ends[1] - ends[0] < best[1] - best[0] ? ends : best));
  return { value: day(0.5), low, high, n, basis: basis(n, prior.basis) };
}

function basis(n: number, usual: string): string {
  if (n === 0) return `${usual}, none of yours yet`;
  const own = n === 1 ? "your 1 flush" : `your ${n} flushes`;
  return n >= NAMED_ALONE ? own : `${own} and the ${usual}`;
}
