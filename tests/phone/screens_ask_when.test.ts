/** When the comparison and the season are worked out anew. */
import { describe, expect, test } from "vitest";
import { isDue, isRested } from "../../static/src/screens/suppliers/ask_when";

const LAST = { upto: 41, day: "2026-05-14" };

describe("an answer is wanted", () => {
  test("where none was ever heard, also for what never changes", () => {
    expect(isDue(null, "once", 0, "2026-05-14")).toBe(true);
  });

  test("when records came since", () => {
    expect(isDue(LAST, "on news", 42, "2026-05-14")).toBe(true);
  });

  test("on another day, for blocks grow older", () => {
    expect(isDue(LAST, "on news", 41, "2026-05-15")).toBe(true);
  });

  test("after the server's history began anew with fewer records", () => {
    expect(isDue(LAST, "on news", 12, "2026-05-14")).toBe(true);
  });

  test("not while nothing is new", () => {
    expect(isDue(LAST, "on news", 41, "2026-05-14")).toBe(false);
  });

  test("at every visit where no record tells of news", () => {
    expect(isDue(LAST, "on visits", 41, "2026-05-14")).toBe(true);
  });

  test("never again for what never changes", () => {
    expect(isDue(LAST, "once", 42, "2026-05-15")).toBe(false);
  });
});

describe("the server is asked", () => {
  const NINE = Date.parse("2026-05-14T09:00:00Z");
  const well = { at: NINE, failed: false };
  const inVain = { at: NINE, failed: true };

  test("at once when it was not asked yet", () => {
    expect(isRested(undefined, null, NINE)).toBe(true);
  });

  test("once a minute at most", () => {
    expect([isRested(well, null, NINE + 59_999), isRested(well, null, NINE + 60_000)]).toEqual([false, true]);
  });

  test("no sooner after a pass where it has answered", () => {
    expect(isRested(well, "2026-05-14T09:00:20Z", NINE + 30_000)).toBe(false);
  });

  test("again after a pass where it was asked in vain", () => {
    expect(isRested(inVain, "2026-05-14T09:00:20Z", NINE + 30_000)).toBe(true);
  });

  test("not at once where it was asked in vain", () => {
    expect([isRested(inVain, null, NINE + 5), isRested(inVain, "2026-05-14T08:59:50Z", NINE + 5)]).toEqual([
      false,
      false,
    ]);
  });

  test("also after the clock was set back", () => {
    expect(isRested(well, null, NINE - 3_600_000)).toBe(true);
  });
});
