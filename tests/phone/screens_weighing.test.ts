import { describe, expect, test } from "vitest";
import { plausible_dry_share } from "../../static/src/calc/drying";
import { judge, type Weighed } from "../../static/src/records/weighing";
import { block, viewOf } from "./farm_cast";

const PICK: Weighed = { wet_g: 340, dry_g: null, day: "2026-05-03" };

function verdict(more: Partial<Weighed>, view = viewOf(), others: { wet_g: number }[] = []) {
  const shown = (grams: number) => `${grams} g`;
  return judge({ ...PICK, ...more }, view, {
    today: "2026-05-03",
    others,
    shown,
    said: (day) => (day === "2026-03-31" ? "31 Mar" : "1 Apr"),
    plausible: plausible_dry_share,
  });
}

describe("a pick", () => {
  test("that is likely for its block passes without a word", () => {
    expect(verdict({})).toBeNull();
  });

  test("of 40 kg from a 3 kg block is asked back with both figures", () => {
    expect(verdict({ wet_g: 40_000 })).toEqual({
      field: "wet",
      asked: "40000 g from a block that weighed 3000 g. Is that right?",
      confirm: "Yes, 40000 g is right",
      block: true, // its own mass may be the one that is wrong
    });
  });

  test("that brings the block above its own mass is asked back with the sum", () => {
    const asked = verdict({ wet_g: 1000 }, viewOf(), [{ wet_g: 1500 }, { wet_g: 600 }]);
    expect(asked).toMatchObject({
      asked: "That makes 3100 g in all from a block that weighed 3000 g. Is that right?",
    });
  });

  test("that brings the block to just its own mass is taken", () => {
    expect(verdict({ wet_g: 1000 }, viewOf(), [{ wet_g: 2000 }])).toBeNull();
  });

  test("from a block of unknown mass is asked back above 10 kg", () => {
    const unweighed = viewOf(block({ wet_g: null }));
    expect(verdict({ wet_g: 10_000 }, unweighed)).toBeNull();
    expect(verdict({ wet_g: 10_001 }, unweighed)).toMatchObject({ field: "wet" });
  });

  test("heavier than 100 kg is refused", () => {
    expect(verdict({ wet_g: 100_001 })).toMatchObject({
      field: "wet",
      refused: expect.stringContaining("100001 g"),
    });
  });

  test("from before the block arrived is refused with both days", () => {
    const words = "Picked on 31 Mar, but this block arrived on 1 Apr. Correct one of the two.";
    expect(verdict({ day: "2026-03-31" })).toEqual({ field: "when", refused: words });
  });

  test("on the very day the block arrived is taken", () => {
    expect(verdict({ day: "2026-04-01" })).toBeNull();
  });

  test("from a day to come is refused", () => {
    expect(verdict({ day: "2026-05-04" })).toMatchObject({ field: "when" });
  });
});

describe("a dried mass", () => {
  test("above the fresh one is refused", () => {
    expect(verdict({ dry_g: 341 })).toMatchObject({
      field: "dry",
      refused: expect.stringContaining("341 g"),
    });
  });

  test("of a third of the fresh one is asked back, never refused", () => {
    expect(verdict({ dry_g: 110 })).toMatchObject({ field: "dry", asked: expect.stringContaining("32 %") });
  });

  test("of a tenth is taken", () => {
    expect(verdict({ dry_g: 34 })).toBeNull();
  });
});
