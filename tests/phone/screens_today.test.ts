import { describe, expect, test } from "vitest";
import { block_state } from "../../static/src/calc/states";
import { noted, type Standing } from "../../static/src/records/farm_view";
import { dueToday, type Pace } from "../../static/src/records/today";
import { block, happening, photo, pick, viewOf } from "./farm_cast";

const NO_PACE: Pace = { pinToHarvestLow: null, betweenFlushesHigh: null, lookFrom: null };

/** Why the block is due at an instant; undefined when it is not. */
function dueAt(at: string, rows: readonly Standing[], pace = NO_PACE) {
  const view = viewOf(...rows);
  const { happenings, picks, photos } = noted(view);
  const now = Date.parse(at);
  const state = block_state(happenings, picks, photos, now);
  return dueToday([{ view, state }], now, () => pace)[0]?.why;
}

describe("a soak", () => {
  const soak = happening("h", "soaked", "2026-04-20T08:00:00Z", { until: "2026-04-20T20:00:00Z" });

  test("is due within a day of its planned end", () => {
    expect(dueAt("2026-04-20T09:00:00Z", [soak])).toBe("soak");
  });

  test("stays due when its end has passed and nobody said that it is out", () => {
    expect(dueAt("2026-04-21T06:00:00Z", [soak])).toBe("soak");
  });

  test("is due no more once something later was noted", () => {
    const out = happening("n", "note", "2026-04-20T20:05:00Z", { note: "Out of the soak" });
    expect(dueAt("2026-04-20T21:00:00Z", [soak, out])).toBeUndefined();
  });

  test("without a planned end reminds of nothing", () => {
    const open = happening("h", "soaked", "2026-04-20T08:00:00Z");
    expect(dueAt("2026-04-20T09:00:00Z", [open])).toBeUndefined();
  });
});

describe("pins", () => {
  const pins = happening("h", "pins_seen", "2026-04-20T08:00:00Z");

  test("are to be checked from the day they are seen", () => {
    expect(dueAt("2026-04-20T12:00:00Z", [pins])).toBe("pins");
  });

  test("may be ready after the shortest time the catalogue gives", () => {
    const pace = { ...NO_PACE, pinToHarvestLow: 4 };
    expect(dueAt("2026-04-24T07:00:00Z", [pins], pace)).toBe("pins");
    expect(dueAt("2026-04-24T08:00:00Z", [pins], pace)).toBe("ready");
  });
});

describe("a flush", () => {
  test("is open for a week after its last pick", () => {
    const picked = pick("k", "2026-04-20T08:00:00Z");
    expect(dueAt("2026-04-22T08:00:00Z", [picked])).toBe("picking");
    expect(dueAt("2026-04-28T08:00:00Z", [picked])).toBeUndefined();
  });

  test("seen ready since its last pick is ready", () => {
    const rows = [pick("k", "2026-04-20T08:00:00Z"), photo("f", "ready", "2026-04-21T08:00:00Z")];
    expect(dueAt("2026-04-21T12:00:00Z", rows)).toBe("ready");
  });
});

describe("a resting block", () => {
  test("is due after four weeks without a first pick", () => {
    expect(dueAt("2026-04-28T12:00:00Z", [])).toBeUndefined();
    expect(dueAt("2026-04-30T12:00:00Z", [])).toBe("resting");
  });

  test("is due after the longest pause the catalogue gives between flushes", () => {
    const picked = pick("k", "2026-04-20T08:00:00Z");
    const pace = { ...NO_PACE, betweenFlushesHigh: 10 };
    expect(dueAt("2026-04-30T07:00:00Z", [picked], pace)).toBeUndefined();
    expect(dueAt("2026-04-30T09:00:00Z", [picked], pace)).toBe("resting");
  });

  test("with no day to count from is left in peace", () => {
    expect(dueAt("2030-01-01T00:00:00Z", [block({ delivery: null })])).toBeUndefined();
  });

  test("that is spent or discarded is never due", () => {
    expect(dueAt("2026-06-01T08:00:00Z", [happening("h", "spent", "2026-05-01T08:00:00Z")])).toBeUndefined();
    expect(
      dueAt("2026-06-01T08:00:00Z", [happening("h", "discarded", "2026-05-01T08:00:00Z")]),
    ).toBeUndefined();
  });
});

test("what spoils first stands first", () => {
  const soaking = viewOf(happening("h", "soaked", "2026-04-20T08:00:00Z", { until: "2026-04-20T20:00:00Z" }));
  const pinning = viewOf(happening("h", "pins_seen", "2026-04-01T08:00:00Z"));
  const blocks = [
    { view: pinning, state: "pinning" },
    { view: soaking, state: "soaking" },
  ];
  const due = dueToday(blocks, Date.parse("2026-04-20T10:00:00Z"), () => NO_PACE);
  expect(due.map(({ why }) => why)).toEqual(["soak", "pins"]);
});

describe("pins that are expected", () => {
  const day = Date.parse("2026-05-04T00:00:00Z");
  const pace = { ...NO_PACE, lookFrom: day };
  const picked = pick("k", "2026-04-20T08:00:00Z");

  test("are to be looked for from their first day on", () => {
    expect(dueAt("2026-05-04T07:00:00Z", [picked], pace)).toBe("look");
    expect(dueAt("2026-05-20T07:00:00Z", [picked], pace)).toBe("look");
  });

  test("are announced three days before", () => {
    expect(dueAt("2026-05-01T07:00:00Z", [picked], pace)).toBe("soon");
    expect(dueAt("2026-04-30T07:00:00Z", [picked], pace)).toBeUndefined();
  });

  test("go before a long rest", () => {
    expect(dueAt("2026-05-20T07:00:00Z", [picked], { ...pace, betweenFlushesHigh: 10 })).toBe("look");
  });
});
