/** The grower's words for what the records keep as codes. */
import type { State } from "../calc/states";
import type { Contamination, DryBasis, Form, Handling, Role, Stage, What } from "../records/types";

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
  pins_dried: "Pins dried up",
  soaked: "Soaked",
  flush_over: "Flush over",
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

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}

/** Two digits of an estimate; more would claim a scale. */
export function rough(value: number): number {
  return Number(value.toPrecision(2));
}

/** "a 35 % chance": in steps of five, as a forecast's chances are no surer. */
export function chanceWords(chance: number): string {
  const pct = Math.round(chance * 20) * 5;
  if (pct <= 0) return "hardly a chance";
  return pct >= 100 ? "near certainty" : `a ${pct} % chance`;
}
