/** What the phone's records say of things to come, as the calculation of what is due takes it. Pure. `screens/due.ts` hands it on. */
import { type BlockView, noted } from "./farm_view";
import type { DryingView, ExtractView, JarView } from "./keeping_view";

/** Days from pins to picking that are usual of a species; null where nothing is known of it. */
export type PinDays = readonly [low: number, high: number] | null;

/** What is expected of a block's next flush; null where nothing is. */
export interface Expected {
  first_day: string;
  chance_of_nothing: number;
}

export function blockFacts(view: BlockView, pin_days: PinDays, next: Expected | null) {
  return { of: "block" as const, key: view.id, ...noted(view), pin_days, next };
}

/** A warm load reads light: as for the verdict, only cooled weighings are held against each other; of warm ones the last says when. */
export function loadFacts({ id, fields, weighings: all }: DryingView) {
  const cooled = all.filter((weighing) => weighing.fields.cooled);
  const weighings = cooled.length > 0 ? cooled : all.slice(-1);
  return {
    of: "load" as const,
    key: id,
    ended: fields.ended !== null,
    step_g: fields.scale_step_g,
    weighings: weighings.map(({ fields: { at, mass_g } }) => ({ at: Date.parse(at), mass_g })),
  };
}

export function jarFacts({ id, fields: { packed, best_before }, left_g }: JarView) {
  return { of: "jar" as const, key: id, packed, left_g, best_before };
}

export function extractFacts({ id, fields, steps }: ExtractView) {
  const { started, steep_low_days, steep_high_days, shake_days } = fields;
  return {
    of: "extract" as const,
    key: id,
    started: Date.parse(started),
    steep_low_days,
    steep_high_days,
    shake_days,
    steps: steps.map(({ fields: { what, at } }) => ({ what, at: Date.parse(at) })),
  };
}
