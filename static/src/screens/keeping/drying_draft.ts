/** A load as it is being put together: what goes in, how it is dried, and the records that become of it. */
import type { Standing } from "../../records/farm_view";
import { readNumber } from "../../records/typed_numbers";
import type { Drying, DryingPart, Id, Method } from "../../records/types";
import { type Change, newId } from "../../store";
import type { Read } from "../form";
import { instantMeant, NO_TIME } from "../parts/when";
import { plain } from "./amounts";
import { massText, readMass } from "./typed_mass";

/** One thing that goes in: a pick, or mushrooms of a variety from elsewhere. */
export interface PutIn {
  pick: Id | null;
  variety: Id; // "" with a pick, or while none is chosen
  text: string;
  /** the text that the grower has said yes to although it is more than the pick has left */
  sure: string;
}

export interface LoadDraft {
  parts: PutIn[];
  method: Method;
  temp: string;
  step: string;
  /** "" means now */
  when: string;
  note: string;
}

export const WARM_AIR: Method = "warm_air";

export function blankLoad(method: Method = WARM_AIR, step = ""): LoadDraft {
  return { parts: [], method, temp: "", step, when: "", note: "" };
}

export type LoadField = "none" | "temp" | "step" | "when" | `part${number}`;
export type LoadFaults = Partial<Record<LoadField, string>>;

/** What the records say of picks: the row and the grams not yet in any load. */
export type FindPick = (id: Id) => { row: Standing<"pick">; free_g: number } | undefined;

type Part = Pick<DryingPart, "pick" | "variety" | "wet_g" | "typed">;

/** A pick that goes in whole keeps what was typed for it. */
export function readPart(part: PutIn, find: FindPick): Part | { wrong: string; asked?: true } {
  const found = part.pick === null ? undefined : find(part.pick);
  const whole = found && part.text === wholeText(found);
  if (found && whole) return { pick: part.pick, variety: null, wet_g: found.free_g, typed: typedOf(found) };
  if (part.pick === null && part.variety === "") return { wrong: "Choose what they are." };
  const read = readMass(part.text);
  if (read.wrong !== undefined) return read;
  const { grams, typed } = read.value;
  if (found && grams > found.free_g && part.sure !== part.text)
    return { wrong: tooMuch(found, typed), asked: true };
  return { pick: part.pick, variety: part.pick ? null : part.variety, wet_g: grams, typed };
}

type Found = NonNullable<ReturnType<FindPick>>;

export function wholeText({ free_g }: Found): string {
  return massText({ grams: free_g, typed: "" });
}

function typedOf({ row, free_g }: Found): string {
  return free_g === row.fields.wet_g ? row.fields.typed : "";
}

function tooMuch({ row, free_g }: Found, typed: string): string {
  const { wet_g } = row.fields;
  const gone = free_g < wet_g ? `, and ${plain(wet_g - free_g)} of it lie in a load already` : "";
  return `This pick was ${plain(wet_g)}${gone}: you typed ${typed}. Check it.`;
}

export function readLoad(draft: LoadDraft, find: FindPick, now: number): Read<LoadField> {
  const faults: LoadFaults = {};
  const parts = readParts(draft.parts, find, faults);
  const { temp_c, scale_step_g } = readHow(draft, faults);
  const started = draft.when === "" ? new Date(now).toISOString() : instantMeant(draft.when);
  if (!started) faults.when = NO_TIME;
  else if (Date.parse(started) > now + 60_000) faults.when = "That is still to come. Choose now or earlier.";
  if (!started || Object.keys(faults).length > 0) return { faults };
  const { method, note } = draft;
  const out = { ended: null, dry_g: null, dry_typed: "" };
  const fields: Drying = { method, started, temp_c, scale_step_g, note, ...out };
  const id = newId();
  const changes: Change[] = [{ verb: "add", kind: "drying", id, fields }, ...partRecords(id, parts)];
  return { changes, words: "The load is on this phone." };
}

/** How warm, and how fine the scale is; what is wrong with them goes into `faults`. */
export function readHow(draft: { temp: string; step: string }, faults: LoadFaults) {
  const temp_c = readNumber(draft.temp, -60, 120);
  if (Number.isNaN(temp_c)) faults.temp = `“${draft.temp}” is no temperature from -60 to 120 °C.`;
  const scale_step_g = readNumber(draft.step, 0.001, 1000);
  if (Number.isNaN(scale_step_g))
    faults.step = `“${draft.step}” is no step of a scale in grams, such as 1 or 0.1.`;
  return { temp_c, scale_step_g };
}

export function readMore(id: Id, parts: readonly PutIn[], find: FindPick): Read<LoadField> {
  const faults: LoadFaults = {};
  const read = readParts(parts, find, faults);
  if (Object.keys(faults).length > 0) return { faults };
  return { changes: partRecords(id, read), words: "Put in: on this phone." };
}

/** What is wrong goes into `faults`, by place. */
function readParts(put: readonly PutIn[], find: FindPick, faults: LoadFaults): Part[] {
  if (put.length === 0) faults.none = "Put something in: tap a pick, or add mushrooms from elsewhere.";
  return put.flatMap((part, at) => {
    const read = readPart(part, find);
    if (!("wrong" in read)) return [read];
    faults[`part${at}`] = read.wrong;
    return [];
  });
}

function partRecords(drying: Id, parts: readonly Part[]): Change[] {
  return parts.map((part) => {
    const fields: DryingPart = { drying, note: "", ...part };
    return { verb: "add", kind: "drying_part", id: newId(), fields };
  });
}
