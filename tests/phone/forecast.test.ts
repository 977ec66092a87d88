/** The phone's forecast, on the same worked examples as the server's. */
import { describe, expect, it } from "vitest";
import forecast from "../../fixtures/calc/forecast.json";
import { days_between } from "../../static/src/calc/days";
import type { Grown } from "../../static/src/calc/figures";
import {
  type Crop,
  crop,
  type FlushPrior,
  flush_prior,
  next_flush,
  USUAL,
  worth_another_soak,
} from "../../static/src/calc/forecast";
import { later_day } from "../../static/src/calc/later_day";
import { agrees } from "./worked";

interface Case {
  name: string;
  block: Crop;
  farm: "all" | number[];
  prior: Partial<FlushPrior>;
  expect: unknown;
}

interface Usual {
  first_days: [number, number] | null;
  pin_days: [number, number] | null;
  between_days: [number, number] | null;
  expect: Partial<FlushPrior>;
}

const farm_blocks = forecast.farm_blocks.all as Crop[];

function farm_of({ farm }: Case): Crop[] {
  return farm === "all" ? farm_blocks : farm_blocks.filter((_, i) => farm.includes(i));
}

function check(example: Case, call: typeof next_flush | typeof worth_another_soak): void {
  const found = call(example.block, farm_of(example), { ...USUAL, ...example.prior });
  expect(agrees(found, example.expect, 1e-6), JSON.stringify(found)).toBe(true);
}

describe("next flush", () => {
  it.each(forecast.cases as unknown as Case[])("$name", (example) => check(example, next_flush));
});

describe("another soak", () => {
  it.each(forecast.soaks as unknown as Case[])("$name", (example) => check(example, worth_another_soak));
});

describe("what is usual of a species", () => {
  it.each(forecast.priors as unknown as Usual[])(
    "$name",
    ({ first_days, pin_days, between_days, expect: wanted }) => {
      const found = flush_prior(first_days, pin_days, between_days);
      expect(agrees(found, { ...USUAL, ...wanted }, 1e-8), JSON.stringify(found)).toBe(true);
    },
  );
});

it("makes flushes of picks, and none of picks of 0 g", () => {
  const grown: Grown = {
    variety: "oyster",
    basis: { kind: "none" },
    wet_g: 1000,
    received: "2026-03-01",
    opened: null,
    ended: false,
    contaminated: false,
    picks: [
      { day: "2026-03-31", wet_g: 50, flush: 2 },
      { day: "2026-03-15", wet_g: 60, flush: 1 },
      { day: "2026-03-17", wet_g: 40, flush: 1 },
      { day: "2026-04-10", wet_g: 0, flush: 3 },
    ],
  };
  expect(crop(grown, "2026-04-20")).toEqual({
    variety: "oyster",
    watched_to: "2026-04-20",
    wet_g: 1000,
    since: "2026-03-01",
    flushes: [
      { number: 1, first: "2026-03-15", last: "2026-03-17", grams: 100 },
      { number: 2, first: "2026-03-31", last: "2026-03-31", grams: 50 },
    ],
    soaked: [],
    over: false,
    pins: null,
  });
});

it("finds the day again that lies any number of days away", () => {
  for (const from of ["1999-12-31", "2024-02-28", "2026-03-01", "2100-02-28"])
    for (let days = -800; days <= 150_000; days += 37)
      expect(days_between(from, later_day(from, days))).toBe(days);
  expect(later_day("2028-02-28", 1)).toBe("2028-02-29");
});
