/** What a farm's records are made of: the same kinds and field names the server keeps. */

export type Id = string; // UUID, made on the phone (version 7, so that ids sort by time)
export type Instant = string; // RFC 3339, e.g. 2026-05-03T07:40:00Z
export type Day = string; // YYYY-MM-DD

export const DRY_BASES = ["none", "stated", "oven", "measured", "assumed"] as const;
export const FORMS = ["bag", "bucket", "log", "bed"] as const;
export const HAPPENINGS = [
  "opened",
  "pins_seen",
  "pins_dried",
  "soaked",
  "flush_over",
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

export const METHODS = ["freeze", "warm_air", "room_air"] as const;
export const CUTS = ["whole", "sliced", "crushed", "powder"] as const;
export const CONTAINERS = ["jar", "bag", "tin"] as const;
export const USES = ["kitchen", "trial", "extract", "sold", "given", "thrown_out", "other"] as const;
export const MUSHROOMS = ["dried", "fresh"] as const;
export const STEPS = ["shaken", "strained", "boiled", "joined", "bottled", "note"] as const;

export type DryBasis = (typeof DRY_BASES)[number];
export type Form = (typeof FORMS)[number];
export type What = (typeof HAPPENINGS)[number];
export type Contamination = (typeof CONTAMINATIONS)[number];
export type Handling = (typeof HANDLINGS)[number];
export type Stage = (typeof STAGES)[number];

export type Method = (typeof METHODS)[number];
export type Cut = (typeof CUTS)[number];
export type Container = (typeof CONTAINERS)[number];
export type Use = (typeof USES)[number];
export type Mushroom = (typeof MUSHROOMS)[number];
export type Step = (typeof STEPS)[number];

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
  stored_c: number | null; // how cold the blocks were kept until they were put up
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

/** The air of a place at one moment. */
export interface Reading {
  place: Id;
  at: Instant;
  temp_c: number | null;
  rh_pct: number | null;
  co2_ppm: number | null;
  note: string;
}

/** One load in the dryer; what is in it are its parts. */
export interface Drying {
  method: Method;
  started: Instant;
  ended: Instant | null; // taken out for good
  temp_c: number | null; // as set
  scale_step_g: number | null;
  dry_g: number | null; // the whole load, as weighed at the end; a pick's share of it is computed, never kept
  dry_typed: string;
  note: string;
}

/** What went into a load: a pick, or part of one; or mushrooms from elsewhere, then without a pick. */
export interface DryingPart {
  drying: Id;
  pick: Id | null;
  variety: Id | null; // only where there is no pick
  wet_g: number;
  typed: string;
  note: string;
}

export interface DryingWeighing {
  drying: Id;
  at: Instant;
  mass_g: number; // of the mushrooms alone
  typed: string;
  cooled: boolean;
}

/** A closed container of dried mushrooms; what is left is what went in less its takings. */
export interface Jar {
  label: string;
  what: string;
  variety: Id | null;
  drying: Id | null; // the load it was filled from
  cut: Cut;
  dry_g: number;
  dry_typed: string;
  packed: Day;
  container: Container;
  container_ml: number | null;
  absorber_ml: number | null; // of oxygen, all absorbers in it together
  place: Id | null;
  best_before: Day | null; // the grower's own
  note: string;
}

export interface Taking {
  jar: Id;
  at: Instant;
  mass_g: number;
  typed: string;
  use: Use;
  note: string;
}

/** Dried mushrooms soaked back and weighed, drained, at some minutes. */
export interface Trial {
  jar: Id | null;
  variety: Id | null;
  at: Instant;
  dry_g: number;
  dry_typed: string;
  water_c: number | null;
  water_ml: number | null;
  note: string;
}

export interface TrialWeighing {
  trial: Id;
  minutes: number;
  drained_g: number;
  typed: string;
}

/** A two-stage extract: spirit first, then water. What became of it are its steps. */
export interface Extract {
  name: string;
  variety: Id | null;
  jar: Id | null;
  mushroom: Mushroom;
  mass_g: number;
  typed: string;
  fresh_water_low_pct: number | null; // of fresh mushrooms only; empty: what is usual
  fresh_water_high_pct: number | null;
  spirit_ml: number;
  spirit_pct: number; // by volume
  started: Instant;
  steep_low_days: number;
  steep_high_days: number;
  shake_days: number | null; // how often it is shaken; empty: no reminder
  target_low_pct: number; // strength of the joined extract, by volume: the grower's own setting
  target_high_pct: number;
  note: string;
}

export interface ExtractStep {
  extract: Id;
  what: Step;
  at: Instant;
  volume_ml: number | null; // strained: of the spirit; boiled: of the strained water stage; bottled: filled
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
  reading: Reading;
  drying: Drying;
  drying_part: DryingPart;
  drying_weighing: DryingWeighing;
  jar: Jar;
  taking: Taking;
  trial: Trial;
  trial_weighing: TrialWeighing;
  extract: Extract;
  extract_step: ExtractStep;
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
  "reading",
  "drying",
  "drying_part",
  "drying_weighing",
  "jar",
  "taking",
  "trial",
  "trial_weighing",
  "extract",
  "extract_step",
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
  drying: [["dry_g", "dry_typed"]],
  drying_part: [["wet_g", "typed"]],
  drying_weighing: [["mass_g", "typed"]],
  jar: [["dry_g", "dry_typed"]],
  taking: [["mass_g", "typed"]],
  trial: [["dry_g", "dry_typed"]],
  trial_weighing: [["drained_g", "typed"]],
  extract: [
    ["mass_g", "typed", "mushroom", "fresh_water_low_pct", "fresh_water_high_pct"],
    ["steep_low_days", "steep_high_days"],
    ["target_low_pct", "target_high_pct"],
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
