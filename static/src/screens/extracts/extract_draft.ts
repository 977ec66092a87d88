/** A two-stage extract as it is written down: new, or as a record has it. */
import { USUAL_PCT_VOL } from "../../calc/extracts";
import type { Standing } from "../../records/farm_view";
import type { Mass } from "../../records/masses";
import type { Id, Mushroom } from "../../records/types";
import { fieldTime } from "../dates";
import { type From, fromId, fromRecord } from "../keeping/taken_from";
import { volumeText } from "../keeping/typed_amounts";
import { massText } from "../keeping/typed_mass";

export interface ExtractDraft {
  name: string;
  mushroom: Mushroom;
  from: From;
  mass: string;
  waterLow: string; // % of fresh mushrooms; "" is the usual
  waterHigh: string;
  spirit: string;
  strength: string;
  weeksLow: string;
  weeksHigh: string;
  shake: string; // every so many days; "" for no reminder
  targetLow: string;
  targetHigh: string;
  when: string; // "" is now
  note: string;
  /** the unlikely mass the grower has said yes to */
  sure: string;
  seen?: Standing<"extract">;
}

export type ExtractField =
  | "mass"
  | "waterLow"
  | "waterHigh"
  | "spirit"
  | "strength"
  | "weeksLow"
  | "weeksHigh"
  | "shake"
  | "targetLow"
  | "targetHigh"
  | "when";

export const WEEK = 7;
// Spirit is steeped four to six weeks and shaken now and then (common practice, no source); every 3 days is our offer.
const USUAL = { weeksLow: "4", weeksHigh: "6", shake: "3" };

export function freshExtract(from: Id): ExtractDraft {
  const [low, high] = USUAL_PCT_VOL;
  return {
    ...USUAL,
    from: fromId(from),
    targetLow: String(low),
    targetHigh: String(high),
    name: "",
    mushroom: "dried",
    mass: "",
    waterLow: "",
    waterHigh: "",
    spirit: "",
    strength: "",
    when: "",
    note: "",
    sure: "",
  };
}

export function extractDraftOf(seen: Standing<"extract">): ExtractDraft {
  const { fields } = seen;
  return {
    seen,
    name: fields.name,
    mushroom: fields.mushroom,
    from: fromRecord(fields),
    mass: massText(massOf(seen)),
    waterLow: shown(fields.fresh_water_low_pct),
    waterHigh: shown(fields.fresh_water_high_pct),
    spirit: volumeText(fields.spirit_ml),
    strength: `${fields.spirit_pct} %`,
    weeksLow: weeks(fields.steep_low_days),
    weeksHigh: weeks(fields.steep_high_days),
    shake: shown(fields.shake_days),
    targetLow: shown(fields.target_low_pct),
    targetHigh: shown(fields.target_high_pct),
    when: fieldTime(new Date(fields.started)),
    note: fields.note,
    sure: massText(massOf(seen)),
  };
}

function shown(value: number | null): string {
  return value === null ? "" : String(value);
}

export function weeks(days: number): string {
  return String(Math.round((100 * days) / WEEK) / 100);
}

export function massOf({ fields }: Standing<"extract">): Mass {
  return { grams: fields.mass_g, typed: fields.typed };
}
