/** A farm's rows joined for reading: each block with what it came with, where it stands and everything noted of it. Pure. */
import type { Whereabouts } from "./replay";
import {
  type Block,
  type Confirmed,
  type Day,
  type FieldsOf,
  type Id,
  type Instant,
  KINDS,
  type Kind,
} from "./types";

/** A row as the phone's store shows it. */
export interface Standing<K extends Kind = Kind> extends Confirmed<K> {
  where: Whereabouts;
  /** only in the form that corrects a change the server refused: that change, and the server's words */
  refused?: { op: Id; message: string };
}

export interface BlockView {
  id: Id;
  row: Standing<"block">;
  fields: Block;
  variety: Standing<"variety"> | undefined;
  delivery: Standing<"delivery"> | undefined;
  supplier: Standing<"supplier"> | undefined;
  /** where it stands now: the last place it was moved to, else the one it was put in */
  place: Standing<"place"> | undefined;
  // each in the order of time
  happenings: Standing<"happening">[];
  picks: Standing<"pick">[];
  photos: Standing<"photo">[];
}

/** The records of each kind by id; blocks with what belongs to them. */
export type FarmView = { readonly [K in Exclude<Kind, "block">]: ReadonlyMap<Id, Standing<K>> } & {
  readonly block: ReadonlyMap<Id, BlockView>;
};

type Sorted = { [K in Kind]: Map<Id, Standing<K>> };

export function farmView(rows: Iterable<Standing>): FarmView {
  const kept = byKind(rows);
  const happenings = byBlock(kept.happening, (fields) => fields.at);
  const picks = byBlock(kept.pick, (fields) => fields.at);
  const photos = byBlock(kept.photo, (fields) => fields.taken);
  const block = new Map<Id, BlockView>();
  for (const row of kept.block.values()) {
    const delivery = found(kept.delivery, row.fields.delivery);
    const noted = happenings.get(row.id) ?? [];
    block.set(row.id, {
      id: row.id,
      row,
      fields: row.fields,
      variety: found(kept.variety, row.fields.variety),
      delivery,
      supplier: found(kept.supplier, delivery?.fields.supplier),
      place: found(kept.place, placeNow(row.fields, noted)),
      happenings: noted,
      picks: picks.get(row.id) ?? [],
      photos: photos.get(row.id) ?? [],
    });
  }
  return { ...kept, block };
}

/** What the calculations take of one block; `dayOf` gives the calendar day of an instant where the grower lives. */
export function grown(view: BlockView, ended: boolean, dayOf: (at: Instant) => Day) {
  const { fields } = view;
  const opened = view.happenings.find((happening) => happening.fields.what === "opened");
  return {
    variety: fields.variety,
    basis: basis(fields),
    wet_g: fields.wet_g,
    received: view.delivery?.fields.received ?? null,
    opened: opened ? dayOf(opened.fields.at) : null,
    ended,
    contaminated: view.happenings.some((happening) => happening.fields.what === "contamination"),
    picks: view.picks.map(({ fields: pick }) => ({
      day: dayOf(pick.at),
      wet_g: pick.wet_g,
      flush: pick.flush,
      dry_g: pick.dry_g,
    })),
  };
}

/** The same records as instants, for the state of the block. */
export function noted(view: BlockView) {
  return {
    happenings: view.happenings.map(({ fields }) => ({
      what: fields.what,
      at: Date.parse(fields.at),
      until: fields.until === null ? null : Date.parse(fields.until),
    })),
    picks: view.picks.map(({ fields }) => ({ at: Date.parse(fields.at), flush: fields.flush })),
    photos: view.photos.map(({ fields }) => ({ stage: fields.stage, taken: Date.parse(fields.taken) })),
  };
}

/** A stated or oven-dried mass is the whole basis; only moisture needs the wet mass beside it. */
function basis(block: Block) {
  const { dry_basis: kind, dry_g, moisture_pct, moisture_low_pct, moisture_high_pct } = block;
  const wet_g = kind === "measured" || kind === "assumed" ? block.wet_g : null;
  return { kind, dry_g, wet_g, moisture_pct, moisture_low_pct, moisture_high_pct };
}

function placeNow(block: Block, noted: readonly Standing<"happening">[]): Id | null {
  const moved = noted.findLast(({ fields }) => fields.what === "moved" && fields.place !== null);
  return moved?.fields.place ?? block.place;
}

function byKind(rows: Iterable<Standing>): Sorted {
  const kept = Object.fromEntries(KINDS.map((kind) => [kind, new Map()])) as unknown as {
    [K in Kind]: Map<Id, Standing>;
  };
  for (const row of rows) if (!row.deleted) kept[row.kind]?.set(row.id, row);
  return kept as unknown as Sorted;
}

function byBlock<K extends "happening" | "pick" | "photo">(
  rows: ReadonlyMap<Id, Standing<K>>,
  at: (fields: FieldsOf[K]) => Instant,
): Map<Id, Standing<K>[]> {
  const apart = new Map<Id, Standing<K>[]>();
  for (const row of rows.values()) {
    const theirs = apart.get(row.fields.block);
    if (theirs) theirs.push(row);
    else apart.set(row.fields.block, [row]);
  }
  // Instants of different length ("…:00Z", "…:00.5Z") do not sort as text.
  const order = (row: Standing<K>) => Date.parse(at(row.fields));
  for (const theirs of apart.values()) theirs.sort((a, b) => order(a) - order(b) || (a.id < b.id ? -1 : 1));
  return apart;
}

function found<T>(rows: ReadonlyMap<Id, T>, id: Id | null | undefined): T | undefined {
  return id ? rows.get(id) : undefined;
}
