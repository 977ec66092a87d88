import { describe, expect, test } from "vitest";
import { NO_MASSES, readSoak, type SoakDraft } from "../../static/src/records/soaked";
import { waterWords } from "../../static/src/screens/parts/soak_words";

function read(more: Partial<SoakDraft>) {
  return readSoak({ ...NO_MASSES, ...more }, "g");
}

function asked(more: Partial<SoakDraft>) {
  const found = read(more);
  return "asked" in found ? found.asked : undefined;
}

describe("the masses of a soak", () => {
  test("need not be weighed, either of them", () => {
    expect(read({})).toEqual({ fields: { mass_before_g: null, mass_after_g: null } });
    expect(read({ after: "2.1 kg" })).toEqual({ fields: { mass_before_g: null, mass_after_g: 2100 } });
  });

  test("are refused each beside itself", () => {
    expect(read({ before: "much", after: "2,100" })).toEqual({
      wrong: { before: expect.stringContaining("much"), after: expect.stringContaining("2,100") },
    });
  });

  test("of which the second is lighter are asked back, and one tap swaps them", () => {
    const found = asked({ before: "2.3 kg", after: "2.1 kg" });
    expect(found?.words).toBe("Lighter after the soak: swapped?");
    expect(found?.answers.map(([name]) => name)).toEqual(["Swap them", "It is right"]);
    const [, swapped] = found?.answers[0] ?? [];
    expect(read({ ...swapped })).toEqual({ fields: { mass_before_g: 2100, mass_after_g: 2300 } });
  });

  test("stay as they are after a yes, which holds for these figures only", () => {
    const typed = { before: "2.3 kg", after: "2.1 kg" };
    const [, yes] = asked(typed)?.answers[1] ?? [];
    expect(read({ ...typed, ...yes })).toEqual({ fields: { mass_before_g: 2300, mass_after_g: 2100 } });
    expect(asked({ ...typed, ...yes, after: "2.0 kg" })).toBeDefined();
  });

  test("that no block has are asked back with the likelier unit", () => {
    const found = asked({ before: "2.3", after: "2.6 kg" });
    expect(found?.words).toBe("2.3 g for a block?");
    expect(found?.answers[0]).toEqual(["2.3 kg", { before: "2.3 kg" }]);
  });
});

test("the water taken up is told in grams and as a share of the mass before", () => {
  expect(waterWords(2050, 2360)).toBe("took up 310 g of water, 15 %");
  expect(waterWords(2300, 2100)).toBe("lost 200 g, 9 %");
});
