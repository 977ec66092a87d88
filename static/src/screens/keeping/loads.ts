/** The farm's loads as the calculations of keeping take them, and what those say of one load. */
import type { Verdict } from "../../calc/drying";
import type { Estimate } from "../../calc/estimates";
import { dry_down, expected_dry_g, load_verdict } from "../../calc/loads";
import { type DriedPick, type Load, own_ratio } from "../../calc/runs";
import type { FarmView, Standing } from "../../records/farm_view";
import type { DryingView, JarView, PartView } from "../../records/keeping_view";
import type { Id, Method } from "../../records/types";
import { farm, keeping } from "../here";
import { wordsOf } from "./shares";

const MINUTE = 60_000;

export function loadOf({ id, fields, parts }: DryingView): Load {
  const put = parts.map((part) => ({
    pick: part.row.fields.pick,
    variety: part.variety?.id ?? null,
    wet_g: part.row.fields.wet_g,
  }));
  return { id, method: fields.method, parts: put, dry_g: fields.dry_g };
}

export function allLoads(): Load[] {
  return [...keeping.value.drying.values()].map(loadOf);
}

/** Picks that were dried and weighed by themselves. */
export function driedPicks(view: FarmView = farm.value): DriedPick[] {
  return [...view.pick.values()].flatMap(({ id, fields: { block, wet_g, dry_g } }) => {
    const variety = view.block.get(block)?.variety?.id;
    return dry_g === null || !variety ? [] : [{ id, variety, wet_g, dry_g }];
  });
}

/** Each variety's key in the catalogue. */
export function speciesKeys(view: FarmView = farm.value): Record<Id, string> {
  return Object.fromEntries([...view.variety.values()].map(({ id, fields }) => [id, fields.species]));
}

/** Dried grams that the load should end near; null while there is nothing in it. */
export function expected(load: Load): Estimate | null {
  if (load.parts.length === 0) return null;
  return expected_dry_g(load, allLoads(), driedPicks(), speciesKeys());
}

/** How a variety dries down on this farm; without a method, by any. */
export function ratioOf(variety: Id | null, method: Method | null): Estimate {
  return dry_down(allLoads(), driedPicks(), variety, method, speciesKeys());
}

/** Of a jar as its own load was weighed, wet and dried; else as its variety dries down by that load's method. */
export function ratioOfJar({ variety, drying }: JarView): Estimate {
  const load = drying && keeping.value.drying.get(drying.id);
  return (load && own_ratio(loadOf(load))) ?? ratioOf(variety?.id ?? null, drying?.fields.method ?? null);
}

/** What the weighings say, or the calculation's own sentence on why they say nothing. */
export function verdictOf(view: DryingView): Verdict | { trouble: string } {
  const start = Date.parse(view.fields.started);
  const weighings = view.weighings.map(({ fields: { at, mass_g, cooled } }) => ({
    minutes: (Date.parse(at) - start) / MINUTE,
    mass_g,
    cooled,
  }));
  try {
    return load_verdict(weighings, view.fields.scale_step_g);
  } catch (error) {
    return { trouble: wordsOf(error) };
  }
}

/** Whether no more water leaves it: then it is time for the snap test and out. */
export function isConstant(view: DryingView): boolean {
  const verdict = verdictOf(view);
  return "verdict" in verdict && verdict.verdict === "constant";
}

/** Grams of a pick that lie in no load yet. */
export function freeOf(pick: Standing<"pick">): number {
  let left = pick.fields.wet_g;
  for (const { parts } of keeping.value.drying.values()) {
    for (const { row } of parts) if (row.fields.pick === pick.id) left -= row.fields.wet_g;
  }
  return Math.max(0, Math.round(left * 1000) / 1000);
}

/** Grams of a finished load that are in no jar yet; below 0 where the jars hold more than it gave. */
export function unjarred({ fields, jars }: DryingView): number {
  const left = jars.reduce((sum, jar) => sum - jar.fields.dry_g, fields.dry_g ?? 0);
  return Math.round(left * 1000) / 1000;
}

export function labelOf(part: PartView): string {
  return part.block?.fields.label ?? "";
}

/** What lies in a load, by variety: "Grey oyster", "Grey oyster and Lion's mane". */
export function contents({ parts }: DryingView): string {
  const names = [...new Set(parts.map(({ variety }) => variety?.fields.name ?? "Unknown variety"))];
  if (names.length === 0) return "Nothing in it yet";
  const last = names.pop() ?? "";
  return names.length > 0 ? `${names.join(", ")} and ${last}` : last;
}
