/** What is said of the 14 species of the trade: ranges to show beside a grower's own, never to alarm on. */
// biome-ignore lint/style/noRestrictedImports: words and numbers only, the very file the server reads.
import raw from "../../../harvestlog/blocks/catalogue.json";

/** One saying: the words always, the ends of the range where they parse honestly, and how far to trust it. */
export interface Fact {
  text: string;
  low: number | null;
  high: number | null;
  unit: string; // "" where the words carry it
  kind: "published" | "common practice" | "memory";
  source: string | null; // of published facts only; the others have none
}

export type Facts = Readonly<Record<string, readonly Fact[]>>;

export interface Species {
  key: string;
  latin: string;
  remark: string;
  synonyms: readonly string[];
  trade_names: readonly string[];
  facts: Facts;
}

/** Species by key, and `all_species`: what holds for every one of them. */
export interface Catalogue {
  species: ReadonlyMap<string, Species>;
  all_species: Facts;
}

type Row = [text: string, low: number | null, high: number | null, kind: Fact["kind"], ...sources: string[]];
type RawFacts = Record<string, Row[]>;

const units: Record<string, string> = raw.units;
const sources: Record<string, string> = raw.sources;

export const CATALOGUE: Catalogue = {
  species: new Map(
    Object.entries(raw.species).map(([key, each]) => [
      key,
      { ...each, key, facts: facts_of(each.facts as unknown as RawFacts) },
    ]),
  ),
  all_species: facts_of(raw.all as unknown as RawFacts),
};

/** How far to trust a fact, in words to show beside it. */
export function trust(fact: Fact): string {
  if (fact.kind === "published") return fact.source ?? "";
  return fact.kind === "memory" ? "from memory" : "common practice, no source";
}

function facts_of(rows: RawFacts): Facts {
  return Object.fromEntries(
    Object.entries(rows).map(([name, each]) => [name, each.map((row) => fact_of(row, units[name] ?? ""))]),
  );
}

function fact_of([text, low, high, kind, ...keys]: Row, unit: string): Fact {
  const named = keys.map((key) => sources[key]);
  return { text, low, high, unit, kind, source: named.length > 0 ? named.join("; ") : null };
}
