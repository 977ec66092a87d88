/** A jar as it is being closed, or corrected: what its form shows and the record that becomes of it. */
import type { Standing } from "../../records/farm_view";
import type { DryingView } from "../../records/keeping_view";
import { parse_mass, type Unit } from "../../records/masses";
import { readNumber } from "../../records/typed_numbers";
import type { Container, Cut, Day, Id, Jar } from "../../records/types";
import type { Odd, Read } from "../form";
import { written } from "../patch";
import { plain } from "./amounts";
import { unjarred } from "./loads";
import { absorbersFor } from "./sealing_need";
import { massOf, typedMass } from "./typed_mass";

export interface JarDraft {
  label: string;
  drying: Id; // "" for none
  what: string;
  variety: Id; // "" for unknown
  cut: Cut;
  dry: string;
  packed: Day;
  container: Container;
  ml: string;
  absorbers: "no" | "yes";
  /** mL of oxygen that one of them takes up */
  one: string;
  /** "" for as many as it needs */
  count: string;
  place: Id;
  best: string;
  note: string;
  /** the mass, as typed, that the grower has said yes to */
  sure: string;
}

export type JarField = "what" | "dry" | "packed" | "ml" | "one" | "count" | "best";

/** `last`: the jar closed before this one, whose glass, shelf and absorbers are likely the same. */
export function freshJar(label: string, today: Day, load?: DryingView, last?: Jar): JarDraft {
  const left = load ? unjarred(load) : 0;
  const kinds = [...new Map(load?.parts.map(({ variety }) => [variety?.id, variety]) ?? []).values()];
  const variety = kinds.length === 1 ? kinds[0] : undefined;
  const names = kinds.map((kind) => kind?.fields.name).filter((name) => name !== undefined);
  return {
    label,
    drying: load?.id ?? "",
    what: names.join(", "),
    variety: variety?.id ?? "",
    cut: last?.cut ?? "whole",
    dry: left > 0 ? massOf(left) : "",
    packed: today,
    container: last?.container ?? "jar",
    ml: last?.container_ml?.toString() ?? "",
    absorbers: "no",
    one: "",
    count: "",
    place: last?.place ?? "",
    best: "",
    note: "",
    sure: "",
  };
}

export function jarDraftOf({ fields }: Standing<"jar">): JarDraft {
  const { label, what, cut, dry_g, dry_typed, packed, container, note } = fields;
  const dry = dry_typed || massOf(dry_g);
  return {
    ...{ label, what, cut, packed, container, note, dry, sure: dry },
    drying: fields.drying ?? "",
    variety: fields.variety ?? "",
    ml: fields.container_ml?.toString() ?? "",
    absorbers: fields.absorber_ml === null ? "no" : "yes",
    one: fields.absorber_ml?.toString() ?? "",
    count: fields.absorber_ml === null ? "" : "1",
    place: fields.place ?? "",
    best: fields.best_before ?? "",
  };
}

export interface Around {
  unit: Unit;
  today: Day;
  /** the load it is filled from, if it is here */
  load: DryingView | undefined;
}

export function readJar(draft: JarDraft, around: Around, seen?: Standing<"jar">): Read<JarField> {
  const faults: Partial<Record<JarField, string>> = {};
  if (!draft.what.trim() && !draft.variety)
    faults.what = "Write what is in it, for example “Grey oyster, caps”.";
  const read = parse_mass(draft.dry, around.unit);
  if (!("grams" in read)) faults.dry = read.sentence;
  if (!draft.packed) faults.packed = "Choose the day it was packed.";
  else if (draft.packed > around.today) faults.packed = "That is still to come. Choose today or earlier.";
  if (draft.best && draft.best < draft.packed)
    faults.best = "That is before it was packed. Correct one of the two.";
  const sealed = readSealing(draft, faults);
  if (!("grams" in read) || Object.keys(faults).length > 0) return { faults };
  const odd = tooMuch(draft, read.grams, around, seen);
  if (odd) return { faults: {}, odd };
  const fields = jarFields(draft, { ...sealed, dry_g: read.grams }, seen);
  const words = seen ? "Changed on this phone." : `Jar ${draft.label} is on this phone.`;
  return { changes: [written("jar", fields, seen)], words };
}

type Measured = Pick<Jar, "dry_g" | "container_ml" | "absorber_ml">;

function jarFields(draft: JarDraft, measured: Measured, seen?: Standing<"jar">): Jar {
  const { label, cut, packed, container, note } = draft;
  const before = seen && { g: seen.fields.dry_g, typed: seen.fields.dry_typed };
  return {
    ...{ label, cut, packed, container, note, ...measured },
    what: draft.what.trim(),
    variety: draft.variety || null,
    drying: draft.drying || null,
    dry_typed: typedMass(draft.dry, before),
    place: draft.place || null,
    best_before: draft.best || null,
  };
}

/** The size of the container and what its absorbers take up in all. */
function readSealing(draft: JarDraft, faults: Partial<Record<JarField, string>>) {
  const container_ml = readNumber(draft.ml, 0.001, 1_000_000);
  if (Number.isNaN(container_ml)) faults.ml = `“${draft.ml}” is no volume in mL: a litre is 1000.`;
  if (draft.absorbers === "no") return { container_ml, absorber_ml: null };
  const one = readNumber(draft.one, 0.001, 100_000);
  if (one === null || Number.isNaN(one))
    faults.one = "Write what one absorber takes up, in mL of oxygen, as printed.";
  const typed = readNumber(draft.count, 1, 1000);
  const count = typed ?? absorbersFor(container_ml, one)?.count ?? null;
  if (Number.isNaN(count)) faults.count = `“${draft.count}” is no number of absorbers.`;
  else if (count === null && one)
    faults.count = "Write how many, or the volume above: then it is worked out.";
  return { container_ml, absorber_ml: (one ?? 0) * (count ?? 0) };
}

function tooMuch(draft: JarDraft, dry_g: number, { load }: Around, seen?: Standing<"jar">): Odd | undefined {
  if (!load || load.fields.dry_g === null || draft.sure === draft.dry) return undefined;
  const left = unjarred(load) + (seen && seen.fields.drying === load.id ? seen.fields.dry_g : 0);
  if (dry_g <= left) return undefined;
  const gone = load.fields.dry_g - left;
  const more = gone > 0 ? `, ${plain(gone)} of it in other jars` : "";
  const words = `The load gave ${plain(load.fields.dry_g)}${more}: you typed ${plain(dry_g)}. Check this weight?`;
  return { words, key: draft.dry, yes: `Yes, ${plain(dry_g)} is right` };
}
