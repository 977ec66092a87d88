/** A soaking trial as it is written down, and what it becomes in one save. */
import type { Standing } from "../../records/farm_view";
import type { Mass } from "../../records/masses";
import type { Id } from "../../records/types";
import { fieldTime } from "../dates";
import type { Odd, Read } from "../form";
import { mass } from "../here";
import { type From, fromId, fromRecord, overdrawn, sourceFields, taking } from "../keeping/taken_from";
import { faultsOf, readVolume, readWithin, volumeText } from "../keeping/typed_amounts";
import { massText, readMass } from "../keeping/typed_mass";
import { timeMeant } from "../parts/when";
import { written } from "../patch";

export interface TrialDraft {
  from: From;
  mass: string;
  celsius: string;
  water: string;
  when: string; // "" is now
  note: string;
  /** the unlikely mass the grower has said yes to */
  sure: string;
  /** of a trial that is corrected: as it was when this began, however long the draft has lain */
  seen?: Standing<"trial">;
}

export type TrialField = "mass" | "celsius" | "water" | "when";

const MUCH_G = 1000; // for one bowl (judgement, no source)

export function freshTrial(from: Id): TrialDraft {
  return { from: fromId(from), mass: "", celsius: "", water: "", when: "", note: "", sure: "" };
}

export function trialDraftOf(seen: Standing<"trial">): TrialDraft {
  const { fields } = seen;
  return {
    seen,
    from: fromRecord(fields),
    mass: massText(massOf(seen)),
    celsius: fields.water_c === null ? "" : String(fields.water_c),
    water: volumeText(fields.water_ml),
    when: fieldTime(new Date(fields.at)),
    note: fields.note,
    sure: "",
  };
}

function massOf({ fields }: Standing<"trial">): Mass {
  return { grams: fields.dry_g, typed: fields.dry_typed };
}

export function readTrial(draft: TrialDraft): Read<TrialField> {
  const { seen, from } = draft;
  const dry = readMass(draft.mass, seen && massOf(seen));
  const celsius = readWithin(draft.celsius, 0, 100, "water temperature in °C");
  const water = readVolume(draft.water);
  const when = timeMeant(draft.when, seen?.fields.at);
  if (
    dry.wrong !== undefined ||
    celsius.wrong !== undefined ||
    water.wrong !== undefined ||
    when.wrong !== undefined
  )
    return { faults: faultsOf({ mass: dry, celsius, water, when }) };
  const at = when.value;
  const { grams, typed } = dry.value;
  const short = overdrawn(from, grams);
  if (short) return { faults: { mass: short } };
  const odd = muchOf(draft, grams);
  if (odd) return { faults: {}, odd };
  const fields = {
    ...sourceFields(from),
    at,
    dry_g: grams,
    dry_typed: typed,
    water_c: celsius.value,
    water_ml: water.value,
    note: draft.note,
  };
  const trial = written("trial", fields, seen);
  const words = seen ? "Changed on this phone." : `${mass(grams)} to soak, on this phone.`;
  return { changes: [trial, ...taking(from, dry.value, "trial", at)], words };
}

function muchOf({ mass: typed, sure }: TrialDraft, grams: number): Odd | undefined {
  if (grams <= MUCH_G || sure === typed) return undefined;
  const words = `${mass(grams)} dried is much for one trial: is the unit right?`;
  return { words, key: typed, yes: `Yes, ${mass(grams)}` };
}
