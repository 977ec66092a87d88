/** The form of each kind of record. Those of the other rooms come with their room, which is on the phone already. */
import type { JSX } from "preact";
import type { Standing } from "../../records/farm_view";
import type { Kind } from "../../records/types";

export type Forms = { readonly [K in Kind]?: (props: { row: Standing<K> }) => JSX.Element | null };

const keeping = (): Promise<{ forms: Forms }> => import("../keeping");
const soaking = (): Promise<{ forms: Forms }> => import("../soaking");

export const FORMS_OF: Partial<Record<Kind, () => Promise<{ forms: Forms }>>> = {
  drying: keeping,
  drying_part: keeping,
  drying_weighing: keeping,
  jar: keeping,
  taking: keeping,
  trial: soaking,
  trial_weighing: soaking,
  extract: soaking,
  extract_step: soaking,
};

/** Kinds whose form is a number pad with the whole screen for itself. */
export const ON_A_PAD: ReadonlySet<Kind> = new Set(["drying_weighing", "taking", "trial_weighing"]);
