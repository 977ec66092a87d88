/** The grower's words for what the records keep as codes. */
import type { State } from "../calc/states";
import type { Contamination, DryBasis, Form, Handling, Kind, Role, Stage, What } from "../records/types";

export const STATES: Record<State, string> = {
  resting: "Resting",
  soaking: "Soaking",
  pinning: "Pinning",
  fruiting: "Fruiting",
  spent: "Spent",
  discarded: "Discarded",
};

export const STAGES: Record<Stage, string> = {
  before_pins: "Before pins",
  knots: "Knots",
  pins: "Pins",
  young: "Young",
  ready: "Ready",
  picked: "Picked",
  trouble: "Trouble",
};

export const WHATS: Record<What, string> = {
  opened: "Opened",
  pins_seen: "Pins seen",
  soaked: "Soaked",
  moved: "Moved",
  contamination: "Contamination",
  discarded: "Discarded",
  spent: "Spent",
  note: "Note",
};

export const CONTAMINATIONS: Record<Exclude<Contamination, "">, string> = {
  green_mould: "Green mould",
  cobweb: "Cobweb mould",
  black_mould: "Black mould",
  bacterial: "Wet, sour (bacteria)",
  insects: "Insects",
  other: "Something else",
};

export const FORMS: Record<Form, string> = { bag: "Bag", bucket: "Bucket", log: "Log", bed: "Bed" };

export const HANDLINGS: Record<Handling, string> = { whole: "Whole", trimmed: "Trimmed" };

export const BASES: Record<DryBasis, { name: string; means: string }> = {
  none: { name: "Not known", means: "You can add it later." },
  stated: {
    name: "Stated by the supplier",
    means: "It is printed on the block or the slip.",
  },
  oven: {
    name: "Oven-dried by you",
    means: "You dried one such block and weighed what was left.",
  },
  measured: {
    name: "Moisture measured",
    means: "You measured this batch.",
  },
  assumed: {
    name: "Moisture assumed",
    means: "You only know about how moist such blocks are.",
  },
};

export const ROLES: Record<Role, { name: string; may: string }> = {
  owner: { name: "Owner", may: "write everything and invite people" },
  picker: { name: "Picker", may: "weigh, photograph and note what happened" },
  viewer: { name: "Viewer", may: "look, and change nothing" },
};

export function kindWords(kind: Kind): string {
  return kind === "happening" ? "note" : kind;
}

export const VERB_WORDS = {
  add: "New",
  patch: "Changed",
  delete: "Deleted",
  restore: "Brought back",
} as const;

/** Names of fields, where the record's own name is no grower's word. */
const FIELDS: Record<string, string> = {
  wet_g: "Mass in grams",
  dry_g: "Dried mass in grams",
  moisture_pct: "Moisture in %",
  moisture_low_pct: "Lowest moisture in %",
  moisture_high_pct: "Highest moisture in %",
  temp_low_c: "Coolest, °C",
  temp_high_c: "Warmest, °C",
  at: "When",
  typed: "As typed",
  dry_typed: "Dried mass as typed",
  until: "Until",
  received: "Arrived",
  dry_basis: "Dry mass",
  mass_before_g: "Mass before in grams",
  mass_after_g: "Mass after in grams",
};

export function fieldName(field: string): string {
  return FIELDS[field] ?? `${field.charAt(0).toUpperCase()}${field.slice(1).replaceAll("_", " ")}`;
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}
