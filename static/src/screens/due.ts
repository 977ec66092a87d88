/** What of the kept crop needs a hand: the phone's records through the calculation, each with the record it is about. */
import { type Due, due } from "../calc/due";
import { later_day } from "../calc/later_day";
import { extractFacts, jarFacts, loadFacts } from "../records/due";
import type { DryingView, ExtractView, JarView, KeepingView } from "../records/keeping_view";
import { localDay } from "./dates";

type Told<K extends Due["kind"], V> = Due & { kind: K; view: V };
export type LoadDue = Told<"weigh_again", DryingView>;
export type JarDue = Told<"look_into_jars" | "best_before", JarView>;
export type ExtractDue = Told<"strain" | "shake", ExtractView>;
export type KeepingDue = LoadDue | JarDue | ExtractDue;

// A grower's own date is worth a sentence while there is still time to use the jar (judgement, no source).
const BEST_BEFORE_AHEAD_DAYS = 7;

/** Everything that falls due in keeping, at any time, by day. */
export function allKeepingDue(keeping: KeepingView, now: number): KeepingDue[] {
  const facts = [
    ...[...keeping.drying.values()].map(loadFacts),
    ...[...keeping.jar.values()].map(jarFacts),
    ...[...keeping.extract.values()].map(extractFacts),
  ];
  return due(facts, now, dayOfMs).map((each) => ({ ...each, view: viewOf(keeping, each) }) as KeepingDue);
}

/** What belongs on Today: due today or overdue, a load to weigh later today, and a best-before within a week. */
export function keepingDue(keeping: KeepingView, now: number): KeepingDue[] {
  const today = dayOfMs(now);
  const soon = later_day(today, BEST_BEFORE_AHEAD_DAYS);
  return allKeepingDue(keeping, now).filter(
    ({ kind, day }) => day <= (kind === "best_before" ? soon : today),
  );
}

export function dayOfMs(at: number): string {
  return localDay(new Date(at));
}

function viewOf(keeping: KeepingView, { kind, key }: Due) {
  if (kind === "weigh_again") return keeping.drying.get(key);
  if (kind === "strain" || kind === "shake") return keeping.extract.get(key);
  return keeping.jar.get(key);
}
