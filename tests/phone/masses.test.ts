/** Masses as typed, on the same examples as the server. */
import { describe, expect, it } from "vitest";
import masses from "../../fixtures/calc/masses.json";
import { format_mass, mass_parts, parse_mass, UNITS, type Unit } from "../../static/src/records/masses";

interface Typed {
  text: string;
  unit: Unit;
  expect?: number;
  refuses?: string;
  says?: string;
}

describe("typed mass", () => {
  it.each(masses.cases as unknown as Typed[])("$name", ({ text, unit, expect: grams, refuses, says }) => {
    const result = parse_mass(text, unit);
    if (refuses === undefined) expect(result).toEqual({ grams, typed: text });
    else expect(result).toEqual({ code: refuses, sentence: expect.stringContaining(says ?? "") });
  });
});

describe("shown mass", () => {
  it.each(masses.shown as { grams: number; unit: Unit; expect: string }[])(
    "$name",
    ({ grams, unit, expect: text }) => {
      expect(format_mass(grams, unit)).toBe(text);
    },
  );

  it("can be typed again, to the step it is shown in", () => {
    const steps = { g: 1, kg: 10, oz: 2.84, lb: 2.84 };
    for (const unit of UNITS) {
      for (let grams = steps[unit]; grams < 30_000; grams *= 1.07) {
        const again = parse_mass(format_mass(grams, unit), "g");
        if ("code" in again) expect.unreachable(again.sentence);
        else expect(Math.abs(again.grams - grams)).toBeLessThanOrEqual(steps[unit] / 2 + 0.001);
      }
    }
  });

  it("comes apart into digits and unit", () => {
    expect(mass_parts(552.816, "lb")).toEqual([
      ["1", "lb"],
      ["3.5", "oz"],
    ]);
  });
});
