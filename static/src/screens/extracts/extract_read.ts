/** What was typed into the form of an extract, field by field, and what it becomes in one save. */
import { read_strength } from "../../calc/extracts";
import type { Mass } from "../../records/masses";
import type { Extract, Id } from "../../records/types";
import type { Odd, Read as Written } from "../form";
import { farm, mass } from "../here";
import { overdrawn, sourceFields, taking } from "../keeping/taken_from";
import { faultsOf, readVolume, readWithin } from "../keeping/typed_amounts";
import { readMass, type Understood } from "../keeping/typed_mass";
import { unless } from "../keeping/unless";
import { timeMeant } from "../parts/when";
import { written } from "../patch";
import { type ExtractDraft, type ExtractField, massOf, WEEK, weeks } from "./extract_draft";

const MOST_WEEKS = 140;
const MUCH_G = 5000; // for one vessel (judgement, no source)
const MOST_WATER_PCT = 99; // what is all water is no mushroom

/** The fields of the record, or everything that is wrong with what was typed. */
export function extractFields(
  draft: ExtractDraft,
): { faults: Partial<Record<ExtractField, string>> } | { fields: Extract; weighed: Mass } {
  const read = understood(draft);
  const faults = { ...upsideDown(read), ...faultsOf<ExtractField>(read) };
  if (Object.keys(faults).length > 0) return { faults };
  const good = read as Good;
  return { fields: fieldsOf(draft, good), weighed: good.mass.value };
}

type Read = ReturnType<typeof understood>;
type Good = { [F in keyof Read]: Value<Read[F]> };
type Value<R> = R extends { wrong?: undefined } ? R : never;

function understood(draft: ExtractDraft) {
  const { seen } = draft;
  const water = (text: string): Understood<number | null> =>
    draft.mushroom === "fresh" ? readWithin(text, 0, MOST_WATER_PCT, "water content in %") : { value: null };
  const weeksOf = (text: string) =>
    needed(readWithin(text, 0, MOST_WEEKS, "number of weeks"), "Write the weeks.");
  const target = (text: string) =>
    needed(readWithin(text, 0, 100, "strength in %"), "Write a strength in %.");
  return {
    mass: readMass(draft.mass, seen && massOf(seen)),
    waterLow: water(draft.waterLow),
    waterHigh: water(draft.waterHigh),
    spirit: needed(readVolume(draft.spirit), "Write how much spirit, for example 500 mL."),
    strength: strengthOf(draft.strength),
    weeksLow: weeksOf(draft.weeksLow),
    weeksHigh: weeksOf(draft.weeksHigh),
    shake: readWithin(draft.shake, 1, 1000, "number of days"),
    targetLow: target(draft.targetLow),
    targetHigh: target(draft.targetHigh),
    when: timeMeant(draft.when, seen?.fields.started),
  };
}

function fieldsOf(draft: ExtractDraft, read: Good): Extract {
  const { from, mushroom, seen } = draft;
  // Fresh mushrooms come from no jar.
  const source = sourceFields(mushroom === "fresh" ? { ...from, jar: "" } : from);
  return {
    ...source,
    name: draft.name.trim() || nameFor(source.variety),
    mushroom,
    mass_g: read.mass.value.grams,
    typed: read.mass.value.typed,
    fresh_water_low_pct: read.waterLow.value,
    fresh_water_high_pct: read.waterHigh.value,
    spirit_ml: read.spirit.value,
    spirit_pct: read.strength.value,
    started: read.when.value,
    steep_low_days: days(draft.weeksLow, read.weeksLow.value, seen?.fields.steep_low_days),
    steep_high_days: days(draft.weeksHigh, read.weeksHigh.value, seen?.fields.steep_high_days),
    shake_days: read.shake.value === null ? null : Math.round(read.shake.value),
    target_low_pct: read.targetLow.value,
    target_high_pct: read.targetHigh.value,
    note: draft.note,
  };
}

export function nameFor(variety: Id | null): string {
  const name = farm.value.variety.get(variety ?? "")?.fields.name;
  return name ? `${name} extract` : "Extract";
}

/** Weeks that were not touched keep their days: 30 days are no round number of weeks. */
function days(text: string, read: number, seen: number | undefined): number {
  return seen !== undefined && text === weeks(seen) ? seen : Math.round(read * WEEK);
}

function needed<T>(read: Understood<T | null>, lack: string): Understood<T> {
  if (read.wrong !== undefined) return read;
  return read.value === null ? { wrong: lack } : { value: read.value };
}

function strengthOf(text: string): Understood<number> {
  if (text.trim() === "") return { wrong: "Write the strength on the bottle, like 95 % or 190 proof." };
  const read = unless(() => read_strength(text));
  return "value" in read ? read : { wrong: read.refusal };
}

/** A fault stands beside the upper end. */
function upsideDown(read: Read): Partial<Record<ExtractField, string>> {
  const ranges = [
    ["waterHigh", read.waterLow, read.waterHigh],
    ["weeksHigh", read.weeksLow, read.weeksHigh],
    ["targetHigh", read.targetLow, read.targetHigh],
  ] as const;
  const found = ranges.flatMap(([field, low, high]) => {
    if (low.wrong !== undefined || high.wrong !== undefined) return [];
    if (low.value === null || high.value === null || low.value <= high.value) return [];
    return [[field, `${low.value} to ${high.value} runs downwards: swap the two.`] as const];
  });
  return Object.fromEntries(found);
}

export function readExtract(draft: ExtractDraft): Written<ExtractField> {
  const read = extractFields(draft);
  if ("faults" in read) return read;
  const { fields, weighed } = read;
  const from = fields.jar ? draft.from : { ...draft.from, jar: "" };
  const short = overdrawn(from, fields.mass_g);
  if (short) return { faults: { mass: short } };
  const odd = muchOf(draft, fields.mass_g);
  if (odd) return { faults: {}, odd };
  const made = written("extract", fields, draft.seen);
  const words = draft.seen ? "Changed on this phone." : `${fields.name} is on this phone.`;
  return { changes: [made, ...taking(from, weighed, "extract", fields.started)], words };
}

function muchOf({ mass: typed, sure }: ExtractDraft, grams: number): Odd | undefined {
  if (grams <= MUCH_G || sure === typed) return undefined;
  const words = `${mass(grams)} of mushrooms is much for one extract: is the unit right?`;
  return { words, key: typed, yes: `Yes, ${mass(grams)}` };
}
