/** A farm with a jar of dried oysters, open on the screens: what soaking trials, the kitchen and extracts are asked of. */
import type { Standing } from "../../static/src/records/farm_view";
import { keepingView, type TrialView } from "../../static/src/records/keeping_view";
import type { Extract, Id, Jar, Step, Trial } from "../../static/src/records/types";
import type { FarmStore } from "../../static/src/store/api";
import { sync } from "../../static/src/sync";
import { AROUND, farmOf, row, VARIETY } from "./farm_cast";

export const JAR = "j";
export const TRIAL = "t";
export const EXTRACT = "x";
export const AT = "2026-11-01T10:00:00Z";

// The trade's name for it, so that its published water content is known.
export const OYSTER = row("variety", VARIETY, {
  name: "Grey oyster",
  species: "pleurotus-ostreatus",
  strain: "",
  temp_low_c: null,
  temp_high_c: null,
  note: "",
});

export function jar(more: Partial<Jar> = {}): Standing<"jar"> {
  const container = { container: "jar", container_ml: 1000, absorber_ml: null } as const;
  const dried = { cut: "sliced", dry_g: 120, dry_typed: "120 g", packed: "2026-10-01" } as const;
  const where = { drying: null, place: null, best_before: null, note: "" };
  return row("jar", JAR, {
    label: "7KQ4M",
    what: "",
    variety: VARIETY,
    ...dried,
    ...container,
    ...where,
    ...more,
  });
}

export function trial(more: Partial<Trial> = {}): Standing<"trial"> {
  const water = { water_c: 40, water_ml: 300 };
  const fields = { jar: JAR, variety: VARIETY, at: AT, dry_g: 30, dry_typed: "30 g", ...water, note: "" };
  return row("trial", TRIAL, { ...fields, ...more });
}

export function weighing(minutes: number, drained_g: number): Standing<"trial_weighing"> {
  return row("trial_weighing", `w${minutes}`, { trial: TRIAL, minutes, drained_g, typed: `${drained_g} g` });
}

export function extract(more: Partial<Extract> = {}): Standing<"extract"> {
  return row("extract", EXTRACT, {
    name: "Winter extract",
    variety: VARIETY,
    jar: null,
    mushroom: "dried",
    mass_g: 60,
    typed: "60 g",
    fresh_water_low_pct: null,
    fresh_water_high_pct: null,
    spirit_ml: 500,
    spirit_pct: 95,
    started: AT,
    steep_low_days: 28,
    steep_high_days: 42,
    shake_days: 3,
    target_low_pct: 25,
    target_high_pct: 30,
    note: "",
    ...more,
  });
}

export function step(what: Step, at: string, volume_ml: number | null = null): Standing<"extract_step"> {
  return row("extract_step", `${what}${at}`, { extract: EXTRACT, what, at, volume_ml, note: "" });
}

/** Opens the farm on the screens with these rows besides its surroundings. */
export function opens(...more: Standing[]): void {
  const around = AROUND.filter(({ id }) => id !== VARIETY);
  const rows = new Map<Id, Standing>([...around, OYSTER, ...more].map((each) => [each.id, each]));
  const store = { rows: { value: rows, peek: () => rows } } as unknown as FarmStore;
  Object.assign(sync.door, { value: { ...sync.door.value, store } });
}

export function trialView(...rows: Standing[]): TrialView {
  const view = keepingView(farmOf(OYSTER, trial(), ...rows)).trial.get(TRIAL);
  if (!view) throw new Error("the cast has no trial");
  return view;
}
