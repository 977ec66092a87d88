/** The mass of a block before and after its soak, as it is typed. Pure. */
import { doubtMass } from "./block_mass";
import { parse_mass, type Unit } from "./masses";

export interface SoakDraft {
  before: string;
  after: string;
  /** both masses, as typed, that the grower has said yes to */
  sure: string;
}

export type SoakFault = Partial<Record<"before" | "after", string>>;

/** A sentence and its answers, each with what it changes. */
export interface Asked {
  words: string;
  answers: readonly (readonly [name: string, part: Partial<SoakDraft>])[];
}

export interface SoakFields {
  mass_before_g: number | null;
  mass_after_g: number | null;
}

export type SoakRead = { fields: SoakFields } | { wrong: SoakFault } | { asked: Asked };

export const NO_MASSES: SoakDraft = { before: "", after: "", sure: "" };

export function readSoak(draft: SoakDraft, unit: Unit): SoakRead {
  const wrong: SoakFault = {};
  const grams = (field: "before" | "after"): number | null => {
    if (draft[field].trim() === "") return null;
    const read = parse_mass(draft[field], unit);
    if ("grams" in read) return read.grams;
    wrong[field] = read.sentence;
    return null;
  };
  const fields = { mass_before_g: grams("before"), mass_after_g: grams("after") };
  if (Object.keys(wrong).length > 0) return { wrong };
  const asked = draft.sure === bothOf(draft) ? null : (oddMass(draft, unit) ?? lighter(draft, fields));
  return asked ? { asked } : { fields };
}

function oddMass(draft: SoakDraft, unit: Unit): Asked | null {
  for (const field of ["before", "after"] as const) {
    const doubt = doubtMass(draft[field], unit);
    if (!doubt) continue;
    const { asked: words, instead, yes } = doubt;
    const other = instead === null ? [] : [[instead, { [field]: instead }] as const];
    return { words, answers: [...other, [yes, { sure: bothOf(draft) }]] };
  }
  return null;
}

function lighter(draft: SoakDraft, { mass_before_g: before, mass_after_g: after }: SoakFields): Asked | null {
  if (before === null || after === null || after >= before) return null;
  return {
    words: "Lighter after the soak: swapped?",
    answers: [
      ["Swap them", { before: draft.after, after: draft.before }],
      ["It is right", { sure: bothOf(draft) }],
    ],
  };
}

/** A yes holds for these figures only. */
export function bothOf({ before, after }: SoakDraft): string {
  return `${before}|${after}`;
}
