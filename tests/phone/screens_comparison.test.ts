/** The comparison's scale, order and words, and what a yield report is asked for with. */
import { describe, expect, test } from "vitest";
import {
  behindInOrder,
  broughtWords,
  countedWords,
  countsWords,
  fromBlocks,
  inOrder,
  likely,
  reachOf,
  tooEarly,
  yieldSaid,
} from "../../static/src/screens/suppliers/comparison_words";
import { isBeyond, placeOf, scaleOf, ticksTo } from "../../static/src/screens/suppliers/scale";
import type { Behind, Compared, Figured } from "../../static/src/screens/suppliers/wire";

const figure = (value: number | null, low = value, high = value, more: Partial<Figured> = {}): Figured => ({
  value,
  low,
  high,
  n: 4,
  unfinished: 0,
  sentence: "",
  ...more,
});

const supplier = (name: string, expected: number | null): Compared =>
  ({ id: name, name, expected: figure(expected) }) as Compared;

const block = (label: string, more: Partial<Behind> = {}): Behind => ({
  block: label,
  label,
  variety: "v",
  counted: "whole",
  so_far: 100,
  taken_as: 100,
  weight: 1,
  ...more,
});

describe("a scale", () => {
  const near = { value: 200, low: 150, high: 260 };

  test("ends where the longest interval ends", () => {
    expect(scaleOf([near, { value: 250, low: 200, high: 310 }]).top).toBe(310);
  });

  test("ends before an interval that would squeeze all others", () => {
    const scale = scaleOf([near, { value: 180, low: 20, high: 5000 }]);
    expect([scale.top, isBeyond(5000, scale), placeOf(5000, scale)]).toEqual([600, true, "100.00%"]);
  });

  test("stands also where everything is nothing", () => {
    expect(scaleOf([{ value: 0, low: 0, high: 0 }])).toEqual({ top: 1, ticks: ticksTo(1) });
  });

  test("shows all of the interval where the middle is nothing", () => {
    expect(scaleOf([{ value: 0, low: 0, high: 90 }]).top).toBe(90);
  });

  test("puts 0 at the left, its end at the right, and the middle between", () => {
    const scale = scaleOf([{ value: 100, low: 50, high: 200 }]);
    expect([0, 100, 200].map((value) => placeOf(value, scale))).toEqual(["0.00%", "50.00%", "100.00%"]);
  });

  test.each([
    [310, [0, 100, 200, 300]],
    [270, [0, 100, 200]],
    [1, [0, 0.2, 0.4, 0.6, 0.8, 1]],
    [0.3, [0, 0.1, 0.2, 0.3]],
    [97, [0, 20, 40, 60, 80]],
    [1234, [0, 500, 1000]],
  ])("up to %d has few round ticks", (top, ticks) => {
    expect(ticksTo(top)).toEqual(ticks);
  });

  test("never has more than six ticks, wherever it ends", () => {
    for (let top = 0.013; top < 50_000; top *= 1.07) {
      const ticks = ticksTo(top);
      expect(ticks.length, String(top)).toBeGreaterThan(1);
      expect(ticks.length, String(top)).toBeLessThan(7);
      expect(ticks.at(-1), String(top)).toBeLessThanOrEqual(top);
    }
  });
});

describe("suppliers", () => {
  test("stand with the most promising first, and those of whom nothing can be said last", () => {
    const all = [
      supplier("Dell", null),
      supplier("Birch", 180),
      supplier("Alder", null),
      supplier("Cove", 240),
    ];
    expect(inOrder(all).map(({ name }) => name)).toEqual(["Cove", "Birch", "Alder", "Dell"]);
  });

  test("of whom nothing can be said have no interval", () => {
    expect(reachOf(figure(null))).toBeNull();
  });

  test("have their interval in words", () => {
    const reach = reachOf(figure(312, 250.4, 339.6));
    expect(reach && likely(reach, yieldSaid)).toBe("likely 250 to 340");
  });

  test("are told with what makes a block count as over", () => {
    const counts = { received: 9, finished: 5, failed: 2, unfinished: 4, contaminated: 0 } as Compared;
    expect(countsWords(counts)).toBe(
      "9 blocks received, 5 over (spent, discarded, or nothing more picked for six weeks), 2 of them without a harvest, 4 still going.",
    );
  });

  test("are told with how many blocks are still going", () => {
    expect([fromBlocks(figure(1, 1, 1, { n: 1 })), fromBlocks(figure(1, 1, 1, { unfinished: 3 }))]).toEqual([
      "from 1 block",
      "from 4 blocks, 3 still going",
    ]);
  });

  test("are told with how many more are too early to count", () => {
    expect([fromBlocks(figure(1), 1), fromBlocks(figure(1, 1, 1, { n: 2, unfinished: 2 }), 2)]).toEqual([
      "from 4 blocks; 1 more is too early to count",
      "from 2 blocks, 2 still going; 2 more are too early to count",
    ]);
  });

  test("are too early to count where they have finished no flush", () => {
    const behind = [block("A"), block("B", { counted: "too early" }), block("C", { counted: "failed" })];
    expect(tooEarly({ ...supplier("Larches", 1), behind })).toBe(1);
  });
});

describe("a block behind a figure", () => {
  test.each([
    ["whole", "all it gave"],
    ["brought forward", "still going: 100 so far, the rest expected"],
    ["failed", "counts among the failures"],
    ["too early", "too early: no flush finished yet"],
    ["no mass", "no mass is known to set its harvest against"],
  ])("that counted as %s says so", (counted, words) => {
    expect(countedWords(block("A", { counted, weight: null }))).toBe(words);
  });

  test("that is unlike its kin says that it counts for less", () => {
    expect(countedWords(block("A", { weight: 0.4 }))).toBe(
      "all it gave; unlike the others, so it counts for less",
    );
  });

  test("says what it counts as, with its unit", () => {
    const going = block("A", { counted: "brought forward", so_far: 122, taken_as: 201.4 });
    expect(broughtWords(going, "g per kg wet")).toBe("201 g per kg wet");
  });

  test("that gave nothing shows no figure, and one that waits does not count yet", () => {
    const none = { so_far: null, taken_as: null };
    expect(
      ["failed", "too early"].map((counted) => broughtWords(block("A", { counted, ...none }), "g")),
    ).toEqual(["gave nothing", "does not count yet"]);
  });

  test("stands by what it was taken as; one that did not enter stands last", () => {
    const all = [
      block("LOW", { taken_as: 90 }),
      block("OUT", { taken_as: null }),
      block("TOP", { taken_as: 310 }),
    ];
    expect(behindInOrder(all).map(({ label }) => label)).toEqual(["TOP", "LOW", "OUT"]);
  });
});
