/** The catalogue on the phone: the same file, and no fact surer than its source. */
import { describe, expect, it, vi } from "vitest";
import raw from "../../harvestlog/blocks/catalogue.json";
import * as records from "../../static/src/records/catalogue";
import { sources_of, trust } from "../../static/src/records/trust";
import { fetchCatalogue } from "../../static/src/sync/catalogue";

const { read_catalogue } = records;
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
    for (const { sources, kind } of facts) expect(sources.length > 0).toBe(kind === "published");
  });

  it("shows both ranges where they differ", () => {
    const facts = CATALOGUE.species.get("hypsizygus-marmoreus")?.facts.fruit_temp_c ?? [];
    expect(facts.map(({ low, high, unit }) => [low, high, unit])).toEqual([
      [13, 18, "°C"],
      [4, 13, "°C"],
    ]);
  });

  it("marks a published fact with numbers, one from memory with a star, common practice with nothing", () => {
    const facts = Object.values(CATALOGUE.species.get("grifola-frondosa")?.facts ?? {}).flat();
    const all = sources_of([...facts, ...Object.values(CATALOGUE.all_species).flat()]);
    const marks = (kind: string) =>
      new Set(facts.filter((fact) => fact.kind === kind).map((fact) => trust(fact, all)));
    expect([...marks("published")]).toEqual(["1", "1, 2"]);
    expect([...marks("memory")]).toEqual(["*"]);
    const practice = Object.values(CATALOGUE.all_species).flat();
    expect(practice.map((fact) => trust(fact, all))).toEqual(practice.map(() => ""));
  });

  it.each(species.map((each) => [each.key, each] as const))("loses no source of %s", (_, { key, facts }) => {
    const all = Object.values(facts).flat();
    const list = sources_of(all);
    const cited = (fact: (typeof all)[number]) =>
      trust(fact, list)
        .split(", ")
        .map((number) => list[Number(number) - 1]);
    const rows = Object.values(raw.species[key as keyof typeof raw.species].facts).flat() as string[][];
    const keys = rows.map((row) => row.slice(4) as (keyof typeof raw.sources)[]);
    const published = all.filter(({ kind }) => kind === "published");
    expect(published.map(cited)).toEqual(
      keys.filter((each) => each.length > 0).map((each) => each.map((one) => raw.sources[one])),
    );
    expect(new Set(list).size).toBe(list.length);
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
