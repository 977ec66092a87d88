/** How a block stands, in a grower's words. */
import { beforeEach, describe, expect, test, vi } from "vitest";
import type { Standing } from "../../static/src/records/farm_view";
import { BLOCK_ID, block, happening, photo, pick } from "./farm_cast";
import { opens } from "./soaking_cast";

vi.hoisted(() => vi.stubGlobal("location", { hash: "" }));

const { farm, now } = await import("../../static/src/screens/here");
const { comingOf } = await import("../../static/src/screens/foresight");
const { mouldWords, standingWords } = await import("../../static/src/screens/standing");
const { freshWeighing } = await import("../../static/src/screens/weighing");

const picked = pick("k", "2026-04-20T08:00:00Z");
const soaked = happening("s", "soaked", "2026-04-21T08:00:00Z", { until: "2026-04-21T20:00:00Z" });
const pins = photo("f", "pins", "2026-04-25T08:00:00Z");

function viewAt(at: string, ...rows: Standing[]) {
  now.value = Date.parse(at);
  opens(block(), ...rows);
  const view = farm.value.block.get(BLOCK_ID);
  if (!view) throw new Error("the cast has no block");
  return view;
}

beforeEach(() => {
  now.value = Date.parse("2026-04-20T12:00:00Z");
});

test.each<[string, string, Standing[]]>([
  ["Waiting for first pins", "2026-04-02T08:00:00Z", []],
  ["Pinning for flush 1", "2026-04-12T08:00:00Z", [happening("p", "pins_seen", "2026-04-11T08:00:00Z")]],
  ["Fruiting, flush 1", "2026-04-20T12:00:00Z", [picked]],
  ["Resting after flush 1", "2026-05-02T12:00:00Z", [picked]],
  ["Soaking after flush 1", "2026-04-21T12:00:00Z", [picked, soaked]],
  ["Pinning for flush 2", "2026-04-25T12:00:00Z", [picked, soaked, pins]],
  ["Fruiting, flush 2", "2026-05-05T12:00:00Z", [picked, photo("r", "ready", "2026-05-05T08:00:00Z")]],
  [
    "Resting after flush 1",
    "2026-04-21T12:00:00Z",
    [picked, happening("o", "flush_over", "2026-04-21T08:00:00Z")],
  ],
  ["Spent after flush 1", "2026-05-05T12:00:00Z", [picked, happening("x", "spent", "2026-05-04T08:00:00Z")]],
  ["Discarded", "2026-04-05T12:00:00Z", [happening("x", "discarded", "2026-04-04T08:00:00Z")]],
])("%s", (words, at, rows) => {
  expect(standingWords(viewAt(at, ...rows))).toBe(words);
});

describe("contamination", () => {
  const seen = (kind: "green_mould" | "other", ...rows: Standing[]) =>
    mouldWords(
      viewAt(
        "2026-04-22T12:00:00Z",
        happening("m", "contamination", "2026-04-22T08:00:00Z", { contamination: kind }),
        ...rows,
      ),
    );

  test("is called by its kind and day", () => {
    expect(seen("green_mould")).toBe("Green mould seen today");
  });

  test("of another kind is called that", () => {
    expect(seen("other")).toBe("Contamination seen today");
  });

  test("is told no more once the block was discarded", () => {
    expect(seen("green_mould", happening("x", "discarded", "2026-04-22T10:00:00Z"))).toBe("");
  });

  test("lets nothing be expected of the block", () => {
    const mould = happening("m", "contamination", "2026-04-22T08:00:00Z", { contamination: "cobweb" });
    expect(comingOf(viewAt("2026-04-22T12:00:00Z", picked))).not.toBeNull();
    expect(comingOf(viewAt("2026-04-22T12:00:00Z", picked, mould))).toBeNull();
  });
});

describe("what is coming", () => {
  test("has a chance of nothing while no pins are seen", () => {
    expect(comingOf(viewAt("2026-04-24T12:00:00Z", picked, soaked))?.next).toMatchObject({
      flush: 2,
      pinned: false,
      chance_of_nothing: expect.any(Number),
    });
  });

  test("is counted from the pins once they are seen, with no chance of nothing", () => {
    expect(comingOf(viewAt("2026-04-25T12:00:00Z", picked, soaked, pins))?.next).toMatchObject({
      flush: 2,
      since: "2026-04-25",
      pinned: true,
      chance_of_nothing: null,
    });
  });
});

describe("the weigh pad begins with", () => {
  test.each<[string, number, string, Standing[]]>([
    ["flush 1 before any pick", 1, "2026-04-12T08:00:00Z", []],
    ["the flush that stands", 1, "2026-04-22T08:00:00Z", [picked]],
    ["the next flush once the block was soaked", 2, "2026-04-22T08:00:00Z", [picked, soaked]],
    ["the next flush once pins were photographed", 2, "2026-04-25T12:00:00Z", [picked, pins]],
    ["the next flush 15 days after the last pick", 2, "2026-05-05T08:00:00Z", [picked]],
  ])("%s", (_, flush, at, rows) => {
    expect(freshWeighing(viewAt(at, ...rows), "g").flush).toBe(flush);
  });
});
