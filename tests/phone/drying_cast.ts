/** Loads in the dryer for the screens' arithmetic. */
import type { Standing } from "../../static/src/records/farm_view";
import { type DryingView, type JarView, keepingView } from "../../static/src/records/keeping_view";
import type { Drying, DryingPart, Id } from "../../static/src/records/types";
import { farmOf, row } from "./farm_cast";
import { JAR, OYSTER } from "./soaking_cast";

export const LOAD = "l";
export const STARTED = "2026-05-03T08:00:00Z";

export function load(more: Partial<Drying> = {}, id: Id = LOAD): Standing<"drying"> {
  const out = { ended: null, dry_g: null, dry_typed: "" };
  const how = { method: "warm_air", temp_c: 45, scale_step_g: 1 } as const;
  return row("drying", id, { ...how, started: STARTED, ...out, note: "", ...more });
}

export function part(id: Id, wet_g: number, more: Partial<DryingPart> = {}): Standing<"drying_part"> {
  return row("drying_part", id, {
    drying: LOAD,
    pick: null,
    variety: OYSTER.id,
    wet_g,
    typed: `${wet_g} g`,
    note: "",
    ...more,
  });
}

export const SHIITAKE = row("variety", "shiitake", {
  ...OYSTER.fields,
  name: "Shiitake",
  species: "lentinula-edodes",
});

/** A load of two varieties: its second variety with both parts. */
export const MIXED = [SHIITAKE, part("p", 500), part("q", 330, { variety: SHIITAKE.id })];

export function weighed(hours: number, mass_g: number, cooled = true): Standing<"drying_weighing"> {
  const at = new Date(Date.parse(STARTED) + hours * 3_600_000).toISOString();
  return row("drying_weighing", `w${hours}`, { drying: LOAD, at, mass_g, typed: `${mass_g} g`, cooled });
}

/** A load that is out, of one part: `wet_g` came to `dry_g`. */
export function finished(id: Id, wet_g: number, dry_g: number, more: Partial<Drying> = {}): Standing[] {
  const ended = "2026-04-02T20:00:00Z";
  const out = { started: "2026-04-02T08:00:00Z", ended, dry_g, dry_typed: `${dry_g} g` };
  return [load({ ...out, ...more }, id), part(`${id} part`, wet_g, { drying: id })];
}

export function loadView(...rows: Standing[]): DryingView {
  const known = rows.some(({ id }) => id === LOAD) ? rows : [load(), ...rows];
  const view = keepingView(farmOf(OYSTER, ...known)).drying.get(LOAD);
  if (!view) throw new Error("the cast has no load");
  return view;
}

export function jarView(...rows: Standing[]): JarView {
  const view = keepingView(farmOf(OYSTER, ...rows)).jar.get(JAR);
  if (!view) throw new Error("the cast has no jar");
  return view;
}
