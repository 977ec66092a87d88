import { describe, expect, test } from "vitest";
import { doubtMass } from "../../static/src/records/block_mass";

describe("the mass of one block", () => {
  test.each(["100 g", "3 kg", "25 kg", "6 lb 10 oz"])("of %s is taken without a word", (typed) => {
    expect(doubtMass(typed, "g")).toBeNull();
  });

  test.each(["", "much", "1,250"])("“%s” is for other sentences to speak of", (typed) => {
    expect(doubtMass(typed, "g")).toBeNull();
  });

  test.each([
    ["3", "g", "3 g for a block?", "3 kg", "3 g is right"],
    ["3", "oz", "3 oz for a block?", "3 lb", "3 oz is right"],
    ["2,5 g", "kg", "2,5 g for a block?", "2,5 kg", "2,5 g is right"],
    ["3000 kilos", "g", "3000 kilos for a block?", "3000 g", "3000 kilos is right"],
    ["2500", "kg", "2500 kg for a block?", "2500 g", "2500 kg is right"],
  ] as const)(
    "of %s with bare numbers in %s is asked back, with the likely unit",
    (typed, unit, asked, instead, yes) => {
      expect(doubtMass(typed, unit)).toEqual({ asked, instead, yes });
    },
  );

  test.each(["99 g", "40 kg", "60 lb 2 oz"])("of %s has no likelier reading", (typed) => {
    expect(doubtMass(typed, "g")).toMatchObject({ asked: `${typed} for a block?`, instead: null });
  });
});
