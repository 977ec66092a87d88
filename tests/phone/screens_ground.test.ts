import { describe, expect, test } from "vitest";
import { groundWords } from "../../static/src/screens/ground_words";

describe("what a forecast rests on", () => {
  test.each([
    ["usual range, none of yours yet", "the usual range for oyster: no other block of yours to go by yet"],
    ["your 1 flush and the usual range", "your 1 flush and the usual range for oyster"],
    ["your 7 flushes", "your 7 flushes"],
  ])("%s", (basis, said) => {
    expect(groundWords(basis, "oyster")).toBe(said);
  });

  test("names no species where none is known", () => {
    expect(groundWords("your 1 flush and the usual range", undefined)).toBe(
      "your 1 flush and the usual range",
    );
  });
});
