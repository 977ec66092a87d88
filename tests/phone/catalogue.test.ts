/** The catalogue on the phone: the same file, and no fact surer than its source. */
import { describe, expect, it, vi } from "vitest";
import raw from "../../harvestlog/blocks/catalogue.json";
import * as records from "../../static/src/records/catalogue";
import { fetchCatalogue } from "../../static/src/sync/catalogue";

const { read_catalogue, trust } = records;
const CATALOGUE = read_catalogue(raw);
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

describe("the catalogue's file", () => {
  vi.stubGlobal("__CATALOGUE__", "/assets/catalogue-0123abcd.json");
  const answering = (answer: () => Response) => fetchCatalogue({ fetch: async () => answer() });
  const json = (body: unknown, status = 200) => new Response(JSON.stringify(body), { status });

  it("is asked for under the address the build gave it", async () => {
    const asked: string[] = [];
    await fetchCatalogue({
      fetch: async (path) => {
        asked.push(path);
        return json(raw);
      },
    });
    expect(asked).toEqual(["/assets/catalogue-0123abcd.json"]);
  });

  it("is what the app knows of species once it has come", async () => {
    await answering(() => json(raw));
    expect(records.CATALOGUE).toEqual(CATALOGUE);
  });

  it.each<[string, () => Response]>([
    ["no server", () => Response.error()],
    ["a refusal", () => json({ code: "absent" }, 404)],
    ["a portal's page", () => new Response("<html>Welcome</html>")],
    ["JSON of something else", () => json({ welcome: true })],
  ])("does not keep the app from opening when there is %s", async (_, answer) => {
    records.set_catalogue({ species: new Map(), all_species: {} });
    await answering(answer);
    expect(records.CATALOGUE.species.size).toBe(0);
  });
});
