/** What falls due, on the same worked examples as the server's. */
import { describe, expect, it } from "vitest";
import examples from "../../fixtures/calc/due.json";
import { due, type Facts } from "../../static/src/calc/due";

interface Case {
  name: string;
  facts: object[];
  now: string;
  expect: { at: string | null }[];
}

const INSTANTS = new Set(["at", "until", "taken", "started"]);
const dayOf = (at: number): string => new Date(at).toISOString().slice(0, 10);

/** Instants as the calculation takes them; days and words as they are. */
function given(value: unknown, name = ""): unknown {
  if (typeof value === "string") return INSTANTS.has(name) ? Date.parse(value) : value;
  if (Array.isArray(value)) return value.map((each) => given(each));
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, given(each, key)]));
}

describe("what falls due", () => {
  it.each(examples.cases as unknown as Case[])("$name", ({ facts, now, expect: expected }) => {
    const found = due(facts.map((each) => given(each)) as Facts[], Date.parse(now), dayOf);
    expect(found).toEqual(expected.map((each) => ({ ...each, at: each.at && Date.parse(each.at) })));
  });

  it("counts the days of the grower's own calendar", () => {
    const at = Date.parse("2026-01-10T22:30:00Z");
    const load = { of: "load", key: "l", ended: false, step_g: 1, weighings: [{ at, mass_g: 130 }] } as const;
    const auckland = (moment: number) => dayOf(moment + 13 * 3_600_000);
    expect(due([load], at, auckland)).toMatchObject([{ day: "2026-01-11" }]);
  });
});
