/** What is said of the 14 species of the trade: ranges to show beside a grower's own, never to alarm on. */

/** One saying: the words always, the ends of the range where they parse honestly, and how far to trust it. */
export interface Fact {
  text: string;
  low: number | null;
  high: number | null;
  unit: string; // "" where the words carry it
  kind: "published" | "common practice" | "memory";
  sources: readonly string[]; // of published facts only; the others have none
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

/** The file the server reads too. */
interface Raw {
  units: Record<string, string>;
  sources: Record<string, string>;
  all: RawFacts;
  species: Record<string, Omit<Species, "key" | "facts"> & { facts: RawFacts }>;
}

/** What the app knows of species; empty until the file has been fetched. */
export let CATALOGUE: Catalogue = { species: new Map(), all_species: {} };

export function set_catalogue(catalogue: Catalogue): void {
  CATALOGUE = catalogue;
}

/** Throws when `raw` is no catalogue. */
export function read_catalogue(raw: unknown): Catalogue {
  const file = raw as Raw;
  return {
    species: new Map(
      Object.entries(file.species).map(([key, each]) => [
        key,
        { ...each, key, facts: facts_of(each.facts, file) },
      ]),
    ),
    all_species: facts_of(file.all, file),
  };
}

function facts_of(rows: RawFacts, { units, sources }: Raw): Facts {
  return Object.fromEntries(
    Object.entries(rows).map(([name, each]) => [
      name,
      each.map((row) => fact_of(row, units[name] ?? "", sources)),
    ]),
  );
}

function fact_of([text, low, high, kind, ...keys]: Row, unit: string, sources: Raw["sources"]): Fact {
  return { text, low, high, unit, kind, sources: keys.map((key) => sources[key] ?? key) };
}
