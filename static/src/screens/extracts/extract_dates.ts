/** How far an extract has come, and its dates to come in words. */
import { due } from "../../calc/due";
import { extractFacts } from "../../records/due";
import type { ExtractView } from "../../records/keeping_view";
import { dayWords, localDay } from "../dates";
import { dayOfMs } from "../due";
import { now } from "../here";

/** Where the extract stands: the last of its stages. */
export type Stage = "steeping" | "strained" | "boiled" | "joined" | "bottled";

export function stageOf({ steps }: ExtractView): Stage {
  const done = (what: Stage) => steps.some(({ fields }) => fields.what === what);
  return (["bottled", "joined", "boiled", "strained"] as const).find(done) ?? "steeping";
}

/** Its shortest time in the spirit is over. */
export function mayStrain(view: ExtractView): boolean {
  const today = localDay(new Date(now.value));
  return due([extractFacts(view)], now.value, dayOfMs).some(
    ({ kind, day }) => kind === "strain" && day <= today,
  );
}

/** The dates to come, in words: "Strain it from 23 Dec to 6 Jan", "Shake it today". */
export function datesOf(view: ExtractView): string[] {
  const today = localDay(new Date(now.value));
  const said = (day: string) => (day <= today ? "today" : dayWords(day, today));
  return due([extractFacts(view)], now.value, dayOfMs)
    .sort((a, b) => (a.day < b.day ? -1 : 1))
    .map(({ kind, day, until }) => {
      if (kind === "shake") return `Shake it ${day <= today ? "today" : `next on ${said(day)}`}.`;
      if (until !== null && until < today) return `Strain it: its time was up on ${dayWords(until, today)}.`;
      const end = until !== null && until !== day ? ` to ${dayWords(until, today)}` : "";
      return day <= today
        ? `Strain it now${until === null ? "" : `, by ${dayWords(until, today)}`}.`
        : `Strain it from ${said(day)}${end}.`;
    });
}
