/** The catalogue on the phone: the same file, and no fact surer than its source. */
import { describe, expect, it } from "vitest";
import { CATALOGUE, trust } from "../../static/src/records/catalogue";

const species = [...CATALOGUE.species.values()];

describe("catalogue", () => {
  it("holds the 14 species under their Latin names", () => {
    expect(species.map((each) => each.latin.toLowerCase().replace(" ", "-"))).toEqual([
      ...CATALOGUE.species.keys(),
    ]);
    expect(species).toHaveLength(14);
  });

  it("gives a source for published facts and for no other", () => {
    const facts = species.flatMap((each) => Object.values(each.facts).flat());
    for (const fact of facts) expect(fact.source !== null).toBe(fact.kind === "published");
    expect(new Set(facts.filter((fact) => fact.kind !== "published").map(trust))).toEqual(
      new Set(["common practice, no source", "from memory"]),
    );
  });

  it("shows both ranges where they differ", () => {
    const facts = CATALOGUE.species.get("hypsizygus-marmoreus")?.facts.fruit_temp_c ?? [];
    expect(facts.map(({ low, high, unit }) => [low, high, unit])).toEqual([
      [13, 18, "°C"],
      [4, 13, "°C"],
    ]);
  });

  it("names several sources of one fact together", () => {
    const [fact] = CATALOGUE.species.get("grifola-frondosa")?.facts.be_pct ?? [];
    expect(fact && trust(fact)).toBe("PMC5866258; Shen & Royse 2001 Appl Microbiol Biotechnol 57:74");
  });
});
