/** What was kept of the crop, joined for reading: loads in the dryer, jars, soaking trials, extracts. Pure. */
import type { BlockView, FarmView, Standing } from "./farm_view";
import type { Drying, Extract, Id, Instant, Jar, Kind, Trial } from "./types";

export interface PartView {
  row: Standing<"drying_part">;
  pick: Standing<"pick"> | undefined;
  block: BlockView | undefined;
  variety: Standing<"variety"> | undefined;
}

export interface DryingView {
  id: Id;
  row: Standing<"drying">;
  fields: Drying;
  parts: PartView[]; // in the order they were put in
  wet_g: number; // all parts together
  weighings: Standing<"drying_weighing">[]; // in the order of time
  jars: Standing<"jar">[];
}

export interface JarView {
  id: Id;
  row: Standing<"jar">;
  fields: Jar;
  variety: Standing<"variety"> | undefined;
  drying: Standing<"drying"> | undefined;
  place: Standing<"place"> | undefined;
  takings: Standing<"taking">[]; // in the order of time
  /** below 0 where two phones took from it offline */
  left_g: number;
}

export interface TrialView {
  id: Id;
  row: Standing<"trial">;
  fields: Trial;
  jar: Standing<"jar"> | undefined;
  variety: Standing<"variety"> | undefined; // its own, else the jar's
  weighings: Standing<"trial_weighing">[]; // by minutes
}

export interface ExtractView {
  id: Id;
  row: Standing<"extract">;
  fields: Extract;
  jar: Standing<"jar"> | undefined;
  variety: Standing<"variety"> | undefined; // its own, else the jar's
  steps: Standing<"extract_step">[]; // in the order of time
}

export interface KeepingView {
  drying: ReadonlyMap<Id, DryingView>;
  jar: ReadonlyMap<Id, JarView>;
  trial: ReadonlyMap<Id, TrialView>;
  extract: ReadonlyMap<Id, ExtractView>;
}

export function keepingView(farm: FarmView): KeepingView {
  const parts = belonging(farm.drying_part, (fields) => fields.drying);
  const weighings = belonging(farm.drying_weighing, (fields) => fields.drying, byInstant);
  const filled = belonging(farm.jar, (fields) => fields.drying);
  const takings = belonging(farm.taking, (fields) => fields.jar, byInstant);
  const soaked = belonging(
    farm.trial_weighing,
    (fields) => fields.trial,
    (fields) => fields.minutes,
  );
  const steps = belonging(farm.extract_step, (fields) => fields.extract, byInstant);
  return {
    drying: each(farm.drying, (row) => {
      const put = (parts.get(row.id) ?? []).map((part) => partView(farm, part));
      const wet_g = put.reduce((sum, part) => sum + part.row.fields.wet_g, 0);
      const jars = filled.get(row.id) ?? [];
      return { ...of(row), parts: put, wet_g, weighings: weighings.get(row.id) ?? [], jars };
    }),
    jar: each(farm.jar, (row) => {
      const taken = takings.get(row.id) ?? [];
      const { variety, drying, place, dry_g } = row.fields;
      return {
        ...of(row),
        variety: found(farm.variety, variety),
        drying: found(farm.drying, drying),
        place: found(farm.place, place),
        takings: taken,
        // Decimals seldom add up to nothing: a thousandth of a gram is nothing.
        left_g: thousandths(taken.reduce((left, taking) => left - taking.fields.mass_g, dry_g)),
      };
    }),
    trial: each(farm.trial, (row) => ({
      ...of(row),
      ...source(farm, row.fields),
      weighings: soaked.get(row.id) ?? [],
    })),
    extract: each(farm.extract, (row) => ({
      ...of(row),
      ...source(farm, row.fields),
      steps: steps.get(row.id) ?? [],
    })),
  };
}

function thousandths(grams: number): number {
  return Math.round(grams * 1000) / 1000;
}

function partView(farm: FarmView, row: Standing<"drying_part">): PartView {
  const pick = found(farm.pick, row.fields.pick);
  const block = found(farm.block, pick?.fields.block);
  return { row, pick, block, variety: block?.variety ?? found(farm.variety, row.fields.variety) };
}

function source(farm: FarmView, fields: { jar: Id | null; variety: Id | null }) {
  const jar = found(farm.jar, fields.jar);
  return { jar, variety: found(farm.variety, fields.variety ?? jar?.fields.variety) };
}

function of<K extends Kind>(row: Standing<K>) {
  return { id: row.id, row, fields: row.fields };
}

function each<K extends Kind, V>(
  rows: ReadonlyMap<Id, Standing<K>>,
  view: (row: Standing<K>) => V,
): ReadonlyMap<Id, V> {
  return new Map([...rows].map(([id, row]) => [id, view(row)]));
}

function belonging<K extends Kind>(
  rows: ReadonlyMap<Id, Standing<K>>,
  to: (fields: Standing<K>["fields"]) => Id | null,
  order: (fields: Standing<K>["fields"]) => number = () => 0,
): Map<Id, Standing<K>[]> {
  const apart = new Map<Id, Standing<K>[]>();
  for (const row of rows.values()) {
    const owner = to(row.fields);
    if (owner === null) continue;
    const theirs = apart.get(owner);
    if (theirs) theirs.push(row);
    else apart.set(owner, [row]);
  }
  // Ids are in the order of making, which settles equal times.
  for (const theirs of apart.values()) {
    theirs.sort((a, b) => order(a.fields) - order(b.fields) || (a.id < b.id ? -1 : 1));
  }
  return apart;
}

function byInstant({ at }: { at: Instant }): number {
  return Date.parse(at);
}

function found<T>(rows: ReadonlyMap<Id, T>, id: Id | null | undefined): T | undefined {
  return id ? rows.get(id) : undefined;
}
