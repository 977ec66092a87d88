import { describe, expect, test } from "vitest";
import { block_state, contaminated_since, pins_since } from "../../static/src/calc/states";
import { noted, type Standing } from "../../static/src/records/farm_view";
import { dueToday, type Pace } from "../../static/src/records/today";
import { block, happening, photo, pick, viewOf } from "./farm_cast";

const NO_PACE: Pace = {
  pinToHarvestLow: null,
  pinToHarvestHigh: null,
  betweenFlushesHigh: null,
  lookFrom: null,
};

/** How the one block stands at an instant. */
function stood(now: number, rows: readonly Standing[]) {
  const view = viewOf(...rows);
  const { happenings, picks, photos } = noted(view);
  return {
    view,
    state: block_state(happenings, picks, photos, now),
    pins: pins_since(happenings, picks, photos, now),
    contaminated: contaminated_since(happenings, now),
  };
}

/** What the block is due for at an instant; undefined when it is not due. */
function itemAt(at: string, rows: readonly Standing[], pace = NO_PACE) {
  const now = Date.parse(at);
  return dueToday([stood(now, rows)], now, () => pace)[0];
}

function dueAt(at: string, rows: readonly Standing[], pace = NO_PACE) {
  return itemAt(at, rows, pace)?.why;
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

  test("are asked after once twice the longest usual time has passed", () => {
    const pace = { ...NO_PACE, pinToHarvestLow: 4, pinToHarvestHigh: 7 };
    expect(dueAt("2026-05-04T07:00:00Z", [pins], pace)).toBe("ready");
    expect(dueAt("2026-05-04T09:00:00Z", [pins], pace)).toBe("lost");
  });

  test("of a species nothing is known of are asked after in two weeks", () => {
    expect(dueAt("2026-05-04T07:00:00Z", [pins])).toBe("pins");
    expect(dueAt("2026-05-04T09:00:00Z", [pins])).toBe("lost");
  });

  test("can be said to have dried up", () => {
    expect(itemAt("2026-04-20T12:00:00Z", [pins])?.end).toBe("pins_dried");
  });

  test("that dried up are due no more", () => {
    const dried = happening("d", "pins_dried", "2026-04-22T08:00:00Z");
    expect(dueAt("2026-04-22T09:00:00Z", [pins, dried])).toBeUndefined();
  });
});

describe("a contaminated block", () => {
  const mould = happening("m", "contamination", "2026-04-20T08:00:00Z", { contamination: "green_mould" });

  test("is due until it is discarded", () => {
    const thrown = happening("t", "discarded", "2026-04-21T08:00:00Z");
    expect(dueAt("2026-04-20T12:00:00Z", [mould])).toBe("contaminated");
    expect(dueAt("2026-06-20T12:00:00Z", [mould])).toBe("contaminated");
    expect(dueAt("2026-04-21T09:00:00Z", [mould, thrown])).toBeUndefined();
  });

  test("is due no more once the note is taken back", () => {
    expect(dueAt("2026-04-20T12:00:00Z", [{ ...mould, deleted: true }])).toBeUndefined();
  });

  test("is due for that alone, whatever stands on it", () => {
    const rows = [mould, happening("s", "soaked", "2026-04-20T09:00:00Z", { until: "2026-04-20T20:00:00Z" })];
    expect(dueAt("2026-04-20T12:00:00Z", rows)).toBe("contaminated");
  });

  test("that was called spent before is due too", () => {
    const spent = happening("s", "spent", "2026-04-10T08:00:00Z");
    expect(dueAt("2026-04-20T12:00:00Z", [spent, mould])).toBe("contaminated");
  });
});

describe("a flush", () => {
  test("is open for a week after its last pick", () => {
    const picked = pick("k", "2026-04-20T08:00:00Z");
    expect(dueAt("2026-04-22T08:00:00Z", [picked])).toBe("picking");
    expect(dueAt("2026-04-28T08:00:00Z", [picked])).toBeUndefined();
  });

  test("can be called over", () => {
    const picked = pick("k", "2026-04-20T08:00:00Z");
    expect(itemAt("2026-04-22T08:00:00Z", [picked])?.end).toBe("flush_over");
  });

  test("called over is due no more", () => {
    const rows = [pick("k", "2026-04-20T08:00:00Z"), happening("o", "flush_over", "2026-04-21T08:00:00Z")];
    expect(dueAt("2026-04-22T08:00:00Z", rows)).toBeUndefined();
  });

  test("photographed ready is asked after in a week", () => {
    const rows = [photo("f", "ready", "2026-04-20T08:00:00Z")];
    expect(dueAt("2026-04-27T08:00:00Z", rows)).toBe("ready");
    expect(itemAt("2026-04-27T09:00:00Z", rows)).toMatchObject({ why: "lost", end: "flush_over" });
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

test("what cannot wait stands first", () => {
  const now = Date.parse("2026-04-20T10:00:00Z");
  const until = "2026-04-20T20:00:00Z";
  const blocks = [
    stood(now, [happening("h", "pins_seen", "2026-04-19T08:00:00Z")]),
    stood(now, [happening("h", "soaked", "2026-04-20T08:00:00Z", { until })]),
    stood(now, [happening("h", "contamination", "2026-04-01T08:00:00Z", { contamination: "cobweb" })]),
  ];
  const due = dueToday(blocks, now, () => NO_PACE);
  expect(due.map(({ why }) => why)).toEqual(["contaminated", "soak", "pins"]);
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
