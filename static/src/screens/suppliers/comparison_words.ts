/** The words and the order of a comparison, apart from how they are drawn. */
import { count } from "../words";
import type { Reach } from "./scale";
import type { Behind, Compared, Comparison, Figured } from "./wire";

export const UNITS: Record<Comparison["unit"], string> = {
  g_per_kg_wet: "g per kg wet",
  efficiency_pct: "% of dry mass",
};

/** A figure's three numbers; null where it cannot be said. */
export function reachOf({ value, low, high }: Figured): Reach | null {
  return value === null || low === null || high === null ? null : { value, low, high };
}

/** The most promising first; those of whom nothing can be said after, by name. */
export function inOrder(suppliers: readonly Compared[]): Compared[] {
  const worth = ({ expected }: Compared) => expected.value ?? Number.NEGATIVE_INFINITY;
  return [...suppliers].sort((a, b) => worth(b) - worth(a) || a.name.localeCompare(b.name));
}

/** "likely 250 to 340" */
export function likely({ low, high }: Reach, say: (value: number) => string): string {
  return `likely ${say(low)} to ${say(high)}`;
}

export function days(value: number): string {
  return value.toFixed(0);
}

export function yieldSaid(value: number): string {
  return value.toFixed(value >= 9.95 || value === 0 ? 0 : 1);
}

export function percent(share: number): string {
  return (100 * share).toFixed(0);
}

export function money(value: number): string {
  return value.toFixed(2);
}

/** From how many blocks, how many of them are still going, and how many more wait for their first finished flush. */
export function fromBlocks({ n, unfinished }: Figured, tooEarly = 0): string {
  const going = unfinished > 0 ? `, ${unfinished} still going` : "";
  const more = tooEarly > 0 ? `; ${tooEarly} more ${tooEarly === 1 ? "is" : "are"} too early to count` : "";
  return `from ${count(n, "block")}${going}${more}`;
}

/** Blocks that enter no yield yet, as they have finished no flush. */
export function tooEarly({ behind }: Compared): number {
  return behind.filter(({ counted }) => counted === "too early").length;
}

/** A block is over when it was noted so, and also when nothing came for long: no other screen counts it so. */
export function countsWords({ received, finished, failed, unfinished, contaminated }: Compared): string {
  const parts = [
    `${count(received, "block")} received`,
    finished > 0 && `${finished} over (spent, discarded, or nothing more picked for six weeks)`,
    failed > 0 && `${failed} of them without a harvest`,
    unfinished > 0 && `${unfinished} still going`,
    contaminated > 0 && `${contaminated} contaminated`,
  ];
  return `${parts.filter(Boolean).join(", ")}.`;
}

/** What a block counts as: what it gave, or what it will have given. */
export function broughtWords({ counted, so_far, taken_as }: Behind, unit: string): string {
  if (counted === "failed") return "gave nothing";
  const brought = taken_as ?? so_far;
  return brought === null ? "does not count yet" : `${yieldSaid(brought)} ${unit}`;
}

const COUNTED: Record<string, string> = {
  whole: "all it gave",
  failed: "counts among the failures",
  "too early": "too early: no flush finished yet",
  "no mass": "no mass is known to set its harvest against",
};

/** Such a share of a usual block's say, and what it gave is no longer like its kin. */
const UNLIKE = 0.75;

export function countedWords({ counted, weight, so_far }: Behind): string {
  const unlike = weight !== null && weight < UNLIKE ? "; unlike the others, so it counts for less" : "";
  const going =
    so_far === null ? "still going" : `still going: ${yieldSaid(so_far)} so far, the rest expected`;
  return (counted === "brought forward" ? going : (COUNTED[counted] ?? counted)) + unlike;
}

/** What entered with most first; what did not enter at the end. */
export function behindInOrder(behind: readonly Behind[]): Behind[] {
  return [...behind].sort(
    (a, b) => (b.taken_as ?? -1) - (a.taken_as ?? -1) || a.label.localeCompare(b.label),
  );
}
