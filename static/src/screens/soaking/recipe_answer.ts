/** The kitchen question both ways, from the farm's own dry-down and soaking trials. */
import type { Estimate } from "../../calc/estimates";
import { dry_g_for_fresh, fresh_g_for_dry } from "../../calc/rehydration";
import type { TrialView } from "../../records/keeping_view";
import type { Id } from "../../records/types";
import { keeping } from "../here";
import { ratioOf, ratioOfJar } from "../keeping/loads";
import { type TrialFacts, takenUp, trialFacts } from "./trial_facts";

export interface Answer {
  /** the grams asked for: fresh ones where a recipe names them, else dried ones */
  asked_g: number;
  /** the other way: dried grams to take, or fresh grams they stand for */
  found: Estimate;
  dry_g: number;
  soak: Soak | null;
  /** at most, where no trial tells how much water is taken up: all that was lost in drying */
  most_water_g: number;
}

/** What the latest trial that tells says of these mushrooms; `own` is whether it was of this very jar. */
export interface Soak {
  trial: TrialView;
  facts: TrialFacts;
  own: boolean;
  ratio: number;
  water_g: number;
}

export type Way = "fresh" | "dried";

/** `of` is a jar's or a variety's id, or "" for mushrooms of any kind. */
export function answer(way: Way, grams: number, of: Id): Answer {
  const ratio = ratioFor(of);
  const found = way === "fresh" ? dry_g_for_fresh(grams, ratio) : fresh_g_for_dry(grams, ratio);
  const dry_g = way === "fresh" ? found.value : grams;
  const fresh_g = way === "fresh" ? grams : found.value;
  return {
    asked_g: grams,
    found,
    dry_g,
    soak: soakFor(of, dry_g),
    most_water_g: Math.max(0, fresh_g - dry_g),
  };
}

/** Of a jar, by its own load; of a variety, by any way of drying. */
function ratioFor(of: Id): Estimate {
  const jar = keeping.value.jar.get(of);
  return jar ? ratioOfJar(jar) : ratioOf(of || null, null);
}

function soakFor(of: Id, dry_g: number): Soak | null {
  const variety = keeping.value.jar.get(of)?.variety?.id ?? of;
  const told = [...keeping.value.trial.values()]
    .map((trial) => ({ trial, facts: trialFacts(trial), own: of !== "" && trial.jar?.id === of }))
    .filter(({ trial, own }) => own || (variety !== "" && trial.variety?.id === variety))
    .filter(({ facts }) => facts.nearly !== null)
    .sort(
      (a, b) =>
        Number(b.own) - Number(a.own) || Date.parse(b.trial.fields.at) - Date.parse(a.trial.fields.at),
    );
  const [best] = told;
  const ratio = best?.facts.soaked_ratio ?? null;
  return best && ratio !== null ? { ...best, ratio, water_g: takenUp(dry_g, ratio) } : null;
}

const COVERED = 1.5; // times what they take up, so that they stay covered (our rule, no source)

/** Litres to pour, rounded up to a tenth, or below that to 50 mL. */
export function litresToPour(water_g: number): string {
  const ml = COVERED * water_g;
  if (ml <= 100) return `${Math.max(50, Math.ceil(ml / 50) * 50)} mL`;
  return `${(Math.ceil(ml / 100) / 10).toFixed(1)} L`;
}
