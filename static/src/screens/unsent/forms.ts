/** The form of each kind of record. It comes with the room that has it, which is on the phone already. */
import type { JSX } from "preact";
import type { Standing } from "../../records/farm_view";
import type { Kind } from "../../records/types";

export type Forms = { readonly [K in Kind]?: (props: { row: Standing<K> }) => JSX.Element | null };

type Room = () => Promise<{ forms: Forms }>;
const papers: Room = () => import("../papers");
const keeping: Room = () => import("../keeping");
const jars: Room = () => import("../jars");
const soaking: Room = () => import("../soaking");
const extracts: Room = () => import("../extracts");
const suppliers: Room = () => import("../suppliers");
const farm: Room = () => import("../farm");

export const ROOM_OF: Partial<Record<Kind, Room>> = {
  block: papers,
  delivery: papers,
  happening: papers,
  supplier: suppliers,
  variety: farm,
  place: farm,
  reading: farm,
  drying: keeping,
  drying_part: keeping,
  drying_weighing: keeping,
  jar: jars,
  taking: jars,
  trial: soaking,
  trial_weighing: soaking,
  extract: extracts,
  extract_step: extracts,
};

/** Kinds whose form is a number pad with the whole screen for itself. */
export const ON_A_PAD: ReadonlySet<Kind> = new Set(["drying_weighing", "taking", "trial_weighing"]);
