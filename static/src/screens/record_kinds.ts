/** What kinds of records, changes and fields are called; apart from the other words, as no first screen says them. */
import type { Kind } from "../records/types";

// Where a kind's own name is no grower's word.
const KIND_WORDS: Partial<Record<Kind, string>> = {
  happening: "note",
  reading: "reading of the air",
  drying: "load",
  drying_part: "part of a load",
  drying_weighing: "weighing of a load",
  taking: "taking from a jar",
  trial: "soaking trial",
  trial_weighing: "weighing of a soaking trial",
  extract_step: "step of an extract",
};

export function kindWords(kind: Kind): string {
  return KIND_WORDS[kind] ?? kind;
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
  stored_c: "Kept at, °C",
  mass_g: "Mass in grams",
  drained_g: "Drained mass in grams",
  temp_c: "Temperature, °C",
  rh_pct: "Humidity of the air in %",
  co2_ppm: "Carbon dioxide in ppm",
  scale_step_g: "Step of the scale in grams",
  container_ml: "Container in mL",
  absorber_ml: "Absorbers, mL of oxygen",
  water_c: "Water, °C",
  water_ml: "Water in mL",
  fresh_water_low_pct: "Least water when fresh in %",
  fresh_water_high_pct: "Most water when fresh in %",
  spirit_ml: "Spirit in mL",
  spirit_pct: "Spirit, % by volume",
  steep_low_days: "Steeps at least, days",
  steep_high_days: "Steeps at most, days",
  shake_days: "Shaken every so many days",
  target_low_pct: "Lowest strength wanted in %",
  target_high_pct: "Highest strength wanted in %",
  volume_ml: "Volume in mL",
  best_before: "Your best-before day",
};

export function fieldName(field: string): string {
  return FIELDS[field] ?? `${field.charAt(0).toUpperCase()}${field.slice(1).replaceAll("_", " ")}`;
}
