/** What a farm's records are made of: the same kinds and field names the server keeps. */

export type Id = string; // UUID, made on the phone (version 7, so that ids sort by time)
export type Instant = string; // RFC 3339, e.g. 2026-05-03T07:40:00Z
export type Day = string; // YYYY-MM-DD

export const DRY_BASES = ["none", "stated", "oven", "measured", "assumed"] as const;
export const FORMS = ["bag", "bucket", "log", "bed"] as const;
export const HAPPENINGS = [
  "opened",
  "pins_seen",
  "soaked",
  "moved",
  "contamination",
  "discarded",
  "spent",
  "note",
] as const;
export const CONTAMINATIONS = [
  "",
  "green_mould",
  "cobweb",
  "black_mould",
  "bacterial",
  "insects",
  "other",
] as const;
export const HANDLINGS = ["whole", "trimmed"] as const;
export const STAGES = ["before_pins", "knots", "pins", "young", "ready", "picked", "trouble"] as const;

export type DryBasis = (typeof DRY_BASES)[number];
export type Form = (typeof FORMS)[number];
export type What = (typeof HAPPENINGS)[number];
export type Contamination = (typeof CONTAMINATIONS)[number];
export type Handling = (typeof HANDLINGS)[number];
export type Stage = (typeof STAGES)[number];

export interface Supplier {
  name: string;
  contact: string;
  note: string;
}

export interface Variety {
  name: string;
  species: string; // a key of the catalogue, or "" when it is not in there
  strain: string;
  temp_low_c: number | null;
  temp_high_c: number | null;
  note: string;
}

export interface Place {
  name: string;
  note: string;
}

export interface Delivery {
  supplier: Id;
  lot: string; // as printed on the block or the slip
  received: Day;
  price: string | null; // decimal, for the whole delivery
  currency: string; // ISO 4217, or ""
  count: number;
  note: string;
}

export interface Block {
  label: string;
  variety: Id;
  delivery: Id | null;
  form: Form;
  wet_g: number | null; // on arrival
  dry_basis: DryBasis; // exactly one: says which of the next four are filled in
  dry_g: number | null;
  moisture_pct: number | null;
  moisture_low_pct: number | null;
  moisture_high_pct: number | null;
  place: Id | null;
  note: string;
}

export interface Happening {
  block: Id;
  what: What;
  at: Instant;
  until: Instant | null; // end of a soak
  mass_before_g: number | null;
  mass_after_g: number | null;
  place: Id | null; // where a moved block went
  contamination: Contamination;
  note: string;
}

export interface Pick {
  block: Id;
  flush: number; // a flush is the sum of its picks; it is no record of its own
  at: Instant;
  wet_g: number;
  typed: string; // what the grower typed, kept beside the grams
  handling: Handling;
  scale_step_g: number | null;
  pieces: number | null;
  dry_g: number | null;
  dry_typed: string;
  note: string;
}

export interface Photo {
  block: Id;
  flush: number | null;
  pick: Id | null;
  stage: Stage;
  taken: Instant;
  sha256: string;
  thumb_sha256: string;
  width: number;
  height: number;
  note: string;
}

export interface FieldsOf {
  supplier: Supplier;
  variety: Variety;
  place: Place;
  delivery: Delivery;
  block: Block;
  happening: Happening;
  pick: Pick;
  photo: Photo;
}

export type Kind = keyof FieldsOf;
export const KINDS = [
  "supplier",
  "variety",
  "place",
  "delivery",
  "block",
  "happening",
  "pick",
  "photo",
] as const satisfies readonly Kind[];

/**
 * Fields that mean something only as a group, by kind: a patch of one carries all of its group, and where two phones
 * wrote, the group is settled as one. The server has the same table.
 */
export const TOGETHER = {
  variety: [["temp_low_c", "temp_high_c"]],
  block: [["dry_basis", "dry_g", "moisture_pct", "moisture_low_pct", "moisture_high_pct", "wet_g"]],
  happening: [["at", "until"]],
  pick: [
    ["wet_g", "typed"],
    ["dry_g", "dry_typed"],
  ],
} as const satisfies { [K in Kind]?: readonly (readonly (keyof FieldsOf[K])[])[] };

/** The group a field belongs to; a field of no group stands for itself. */
export function groupOf(kind: Kind, field: string): readonly string[] {
  const groups: readonly (readonly string[])[] =
    (TOGETHER as Partial<Record<Kind, typeof groups>>)[kind] ?? [];
  return groups.find((group) => group.includes(field)) ?? [field];
}

/** A record as the server last confirmed it. */
export interface Confirmed<K extends Kind = Kind> {
  kind: K;
  id: Id;
  seq: number;
  deleted: boolean;
  author: Id | null;
  fields: FieldsOf[K];
}

/** One change waiting to be sent; `base` is the row's seq as this phone had it when it was edited. */
export interface Op<K extends Kind = Kind> {
  id: Id;
  verb: "add" | "patch" | "delete" | "restore";
  kind: K;
  row: Id;
  base: number;
  at: Instant;
  fields: Partial<FieldsOf[K]>;
}

export type Role = "owner" | "picker" | "viewer";
