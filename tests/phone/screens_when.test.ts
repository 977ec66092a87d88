import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { fieldTime, instantOf } from "../../static/src/screens/dates";
import { NO_TIME, timeAfter, timeMeant } from "../../static/src/screens/parts/when";

const SEEN = "2026-05-02T08:00:31Z";

beforeEach(() => {
  vi.useFakeTimers({ now: new Date("2026-05-03T12:00:00Z") });
});
afterEach(() => {
  vi.useRealTimers();
});

describe("when something happened", () => {
  test("is now where nothing else is said", () => {
    expect(timeMeant("")).toEqual({ value: "2026-05-03T12:00:00.000Z" });
  });

  test("is refused where it is still to come", () => {
    expect(timeMeant("2026-12-24T08:00").wrong).toContain("still to come");
  });

  test("is refused while the field holds half a time", () => {
    expect(timeMeant("?")).toEqual({ wrong: NO_TIME });
  });

  test("is refused before the block had arrived, with both days in short words", () => {
    expect(timeAfter("2026-04-05", "2026-04-04T08:00").wrong).toBe(
      "Noted for 4 Apr, but this block arrived on 5 Apr. Correct one of the two.",
    );
    expect(timeAfter("2025-12-05", "2025-12-04T08:00").wrong).toContain("arrived on 5 Dec 2025");
  });

  test("may be the very day the block arrived, and any day where that is unknown", () => {
    const when = "2026-04-05T00:10";
    expect(timeAfter("2026-04-05", when)).toEqual({ value: instantOf(when) });
    expect(timeAfter(undefined, "2019-04-05T00:10").wrong).toBeUndefined();
  });

  test("keeps the time it was noted for, whatever the delivery says now", () => {
    expect(timeAfter("2026-05-09", fieldTime(new Date(SEEN)), SEEN)).toEqual({ value: SEEN });
  });
});
