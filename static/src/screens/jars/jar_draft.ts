/** A jar as it is being closed, or corrected: what its form shows and the record that becomes of it. */
import type { Standing } from "../../records/farm_view";
import type { DryingView } from "../../records/keeping_view";
import type { Mass } from "../../records/masses";
import { readNumber } from "../../records/typed_numbers";
import type { Container, Cut, Day, Id, Jar } from "../../records/types";
import type { Odd, Read } from "../form";
import { plain } from "../keeping/amounts";
import { unjarred } from "../keeping/loads";
import { readVolume, volumeText } from "../keeping/typed_amounts";
import { massText, readMass } from "../keeping/typed_mass";
import { written } from "../patch";
import { absorbersFor } from "./sealing_need";

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
  const kinds = kindsIn(load);
  const only = new Set(load?.parts.map(({ variety }) => variety?.id)).size === 1 ? kinds[0]?.[0] : undefined;
  return {
    label,
    drying: load?.id ?? "",
    what: namesOf(kinds),
    variety: only ?? "",
    cut: last?.cut ?? "whole",
    dry: allOf(load),
    packed: today,
    container: last?.container ?? "jar",
    ml: volumeText(last?.container_ml ?? null),
    absorbers: "no",
    one: "",
    count: "",
    place: last?.place ?? "",
    best: "",
    note: "",
    sure: "",
  };
}

type Kind = readonly [id: Id, name: string];

/** The varieties that lay in a load, in the order they were put in; one that nobody named is none. */
export function kindsIn(load: DryingView | undefined): Kind[] {
  const named = load?.parts.flatMap(({ variety }) => (variety ? [variety] : [])) ?? [];
  return [...new Map(named.map(({ id, fields }) => [id, fields.name]))];
}

function namesOf(kinds: readonly Kind[]): string {
  return kinds.map(([, name]) => name).join(", ");
}

/** All of the load that is in no jar yet. */
function allOf(load: DryingView | undefined): string {
  const left = load ? unjarred(load) : 0;
  return left > 0 ? massText({ grams: left, typed: "" }) : "";
}

/** One variety of a mixed load goes in ("" for all of it): its name is offered, and what was offered for all of it, which nobody weighed of one, goes. */
export function ofKind(draft: JarDraft, variety: Id, load: DryingView): Partial<JarDraft> {
  const kinds = kindsIn(load);
  const called = (id: Id) => namesOf(id ? kinds.filter(([kind]) => kind === id) : kinds);
  const offered = (id: Id) => (id ? "" : allOf(load));
  return {
    variety,
    ...(draft.what === called(draft.variety) && { what: called(variety) }),
    ...(draft.dry === offered(draft.variety) && { dry: offered(variety) }),
  };
}

export function jarDraftOf({ fields }: Standing<"jar">): JarDraft {
  const { label, what, cut, packed, container, note } = fields;
  const dry = massText(massOf(fields));
  return {
    ...{ label, what, cut, packed, container, note, dry, sure: dry },
    drying: fields.drying ?? "",
    variety: fields.variety ?? "",
    ml: volumeText(fields.container_ml),
    absorbers: fields.absorber_ml === null ? "no" : "yes",
    one: fields.absorber_ml?.toString() ?? "",
    count: fields.absorber_ml === null ? "" : "1",
    place: fields.place ?? "",
    best: fields.best_before ?? "",
  };
}

function massOf({ dry_g, dry_typed }: Jar): Mass {
  return { grams: dry_g, typed: dry_typed };
}

export interface Around {
  today: Day;
  /** the load it is filled from, if it is here */
  load: DryingView | undefined;
}

export function readJar(draft: JarDraft, around: Around, seen?: Standing<"jar">): Read<JarField> {
  const faults: Partial<Record<JarField, string>> = {};
  if (!draft.what.trim() && !draft.variety)
    faults.what = "Write what is in it, for example “Grey oyster, caps”.";
  const dry = readMass(draft.dry, seen && massOf(seen.fields));
  if (dry.wrong !== undefined) faults.dry = dry.wrong;
  if (!draft.packed) faults.packed = "Choose the day it was packed.";
  else if (draft.packed > around.today) faults.packed = "That is still to come. Choose today or earlier.";
  if (draft.best && draft.best < draft.packed)
    faults.best = "That is before it was packed. Correct one of the two.";
  const sealed = readSealing(draft, faults);
  if (dry.wrong !== undefined || Object.keys(faults).length > 0) return { faults };
  const { grams: dry_g, typed: dry_typed } = dry.value;
  const odd = tooMuch(draft, dry_g, around, seen);
  if (odd) return { faults: {}, odd };
  const fields = jarFields(draft, { ...sealed, dry_g, dry_typed });
  const words = seen ? "Changed on this phone." : `Jar ${draft.label} is on this phone.`;
  return { changes: [written("jar", fields, seen)], words };
}

type Measured = Pick<Jar, "dry_g" | "dry_typed" | "container_ml" | "absorber_ml">;

function jarFields(draft: JarDraft, measured: Measured): Jar {
  const { label, cut, packed, container, note } = draft;
  return {
    ...{ label, cut, packed, container, note, ...measured },
    what: draft.what.trim(),
    variety: draft.variety || null,
    drying: draft.drying || null,
    place: draft.place || null,
    best_before: draft.best || null,
  };
}

/** The size of the container and what its absorbers take up in all. */
function readSealing(draft: JarDraft, faults: Partial<Record<JarField, string>>) {
  const { value: container_ml = null, wrong } = { value: undefined, ...readVolume(draft.ml) };
  if (wrong) faults.ml = wrong;
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
