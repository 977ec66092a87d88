/** Label codes, on the same examples as the server, and every slip there can be. */
import { describe, expect, it } from "vitest";
import labels from "../../fixtures/calc/labels.json";
import { ALPHABET, is_label, make_label, read_label } from "../../static/src/records/labels";

interface Typed {
  text: string;
  expect?: string;
  refuses?: string;
  says?: string;
}

describe("typed label", () => {
  it.each(labels.cases as unknown as Typed[])("$name", ({ text, expect: label, refuses, says }) => {
    const result = read_label(text);
    if (refuses === undefined) expect(result).toBe(label);
    else expect(result).toEqual({ code: refuses, sentence: expect.stringContaining(says ?? "") });
  });
});

describe("made label", () => {
  it.each(labels.made)("$name", ({ values, expect: label, refuses }) => {
    if (refuses) expect(() => make_label(values)).toThrow(RangeError);
    else expect(make_label(values)).toBe(label);
  });
});

describe("slips", () => {
  const digits = Array.from({ length: 32 }, (_, value) => value);

  it("of one character are all found, in labels all over the field", () => {
    for (let seed = 0; seed < 32 ** 4; seed += 2003) {
      const label = make_label([seed & 31, (seed >> 5) & 31, (seed >> 10) & 31, (seed >> 15) & 31]);
      for (let place = 0; place < 5; place += 1)
        for (const character of ALPHABET) {
          const wrong = label.slice(0, place) + character + label.slice(place + 1);
          if (is_label(wrong) !== (wrong === label)) expect.unreachable(`${label} ${wrong}`);
        }
    }
  });

  // Every pair of values at every place, and enough third ones for every pair with the check at the end.
  it("of two neighbours swapped are all found", () => {
    for (const one of digits)
      for (const other of digits)
        for (const label of [
          make_label([one, other, 0, 0]),
          make_label([0, one, other, 0]),
          make_label([other, 0, one, other]),
        ])
          for (let place = 0; place < 4; place += 1) {
            const swapped =
              label.slice(0, place) + label.charAt(place + 1) + label.charAt(place) + label.slice(place + 2);
            if (is_label(swapped) !== (swapped === label)) expect.unreachable(`${label} ${swapped}`);
          }
  });
});
