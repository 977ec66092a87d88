/** A block's story cut into its flushes: what was noted, photographed and picked on the way to each. Pure. */
import type { BlockView, Standing } from "./farm_view";
import type { Instant } from "./types";

export type Entry = Standing<"happening"> | Standing<"pick"> | Standing<"photo">;

export interface Chapter {
  /** null: after the last flush, leading to the next one if there is any */
  flush: number | null;
  grams: number;
  photos: Standing<"photo">[];
  // newest first
  entries: Entry[];
}

export function entryAt(entry: Entry): Instant {
  return entry.kind === "photo" ? entry.fields.taken : entry.fields.at;
}

/**
 * Chapters, newest first. A pick belongs to the flush it names, a photo too where it names one; everything else
 * belongs to the first flush whose last pick is not before it.
 */
export function chapters(view: BlockView): Chapter[] {
  const ends = lastPicks(view.picks);
  const made = new Map<number | null, Chapter>();
  const chapter = (flush: number | null): Chapter => {
    const known = made.get(flush) ?? { flush, grams: 0, photos: [], entries: [] };
    made.set(flush, known);
    return known;
  };
  for (const entry of [...view.happenings, ...view.photos, ...view.picks]) {
    const into = chapter(flushOf(entry, ends));
    into.entries.push(entry);
    if (entry.kind === "pick") into.grams += (entry as Standing<"pick">).fields.wet_g;
    if (entry.kind === "photo") into.photos.push(entry as Standing<"photo">);
  }
  for (const each of made.values())
    each.entries.sort((a, b) => Date.parse(entryAt(b)) - Date.parse(entryAt(a)));
  return [...made.values()].sort((a, b) => (b.flush ?? 99) - (a.flush ?? 99));
}

function lastPicks(picks: readonly Standing<"pick">[]): [flush: number, last: number][] {
  const last = new Map<number, number>();
  for (const { fields } of picks) {
    last.set(fields.flush, Math.max(last.get(fields.flush) ?? -Infinity, Date.parse(fields.at)));
  }
  return [...last].sort(([a], [b]) => a - b);
}

function flushOf(entry: Entry, ends: readonly [flush: number, last: number][]): number | null {
  if (entry.kind === "pick") return (entry as Standing<"pick">).fields.flush;
  if (entry.kind === "photo" && (entry as Standing<"photo">).fields.flush !== null) {
    const named = (entry as Standing<"photo">).fields.flush;
    return ends.some(([flush]) => flush === named) ? named : null;
  }
  const at = Date.parse(entryAt(entry));
  return ends.find(([, last]) => last >= at)?.[0] ?? null;
}
