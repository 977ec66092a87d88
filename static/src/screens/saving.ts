/** Acts that write: once per tap, said aloud, and taken back by one button instead of asked before. */
import { signal } from "@preact/signals";
import type { Change, Picture } from "../store/api";
import { store, tick } from "./here";
import { changedIn, differing, refusedIn } from "./patch";
import { back, route } from "./route";

/** What was just done; `undo` takes it back. */
export interface Said {
  words: string;
  wrong: boolean;
  at: number;
  undo: (() => Promise<void>) | null;
}

const READ_MS = 5000; // long enough to read a line

export const said = signal<Said | null>(null);

export function say(words: string, undo: Said["undo"] = null): void {
  const now = { words, undo, wrong: false, at: performance.now() };
  said.value = now;
  // Words that ask for nothing go by themselves.
  if (!undo) setTimeout(() => said.peek() === now && hush(0), READ_MS);
}

export function sayWrong(error: unknown): void {
  const words = error instanceof Error ? error.message : String(error);
  said.value = { words, undo: null, wrong: true, at: performance.now() };
}

/** On a change of screen: what was said a while ago has been read. */
export function hush(after = READ_MS): void {
  if (said.peek() && performance.now() - (said.peek()?.at ?? 0) >= after) said.value = null;
}

const REPEAT_MS = 400; // a wet finger taps twice
let last = { act: "", at: Number.NEGATIVE_INFINITY };
let running = "";

const WRITING = new Set(["weigh", "pick", "happening", "variety", "place"]);

/** Whether a reload would take a half-filled form from under the grower's fingers. */
export function busy(): boolean {
  const { name, id, part } = route.peek();
  const inField = document.activeElement?.matches("input, select, textarea") ?? false;
  const form = WRITING.has(name) || part !== "" || id === "new" || (name === "delivery" && id === "");
  return running !== "" || inField || form || (name === "unsent" && id !== "");
}

/** Runs an act unless the same one was tapped just now or is still running. Says what went wrong. Returns whether it was done. */
export async function once(act: string, work: () => Promise<void>): Promise<boolean> {
  const at = performance.now();
  if (running === act || (last.act === act && at - last.at < REPEAT_MS)) return false;
  last = { act, at };
  running = act;
  said.value = null;
  try {
    await work();
    return true;
  } catch (error) {
    sayWrong(error);
    return false;
  } finally {
    running = "";
    tick(); // what was dated a second ago counts at once
    last.at = performance.now();
  }
}

/** Saves on this phone and says so; the undo button saves the reverse. */
export async function keep(
  changes: readonly Change[],
  words: string,
  pictures: readonly Picture[] = [],
  draft?: string,
): Promise<void> {
  const fresh: Change[] = [];
  for (const change of changes) {
    const refused = refusedIn(change);
    if (refused) await store().resend(refused, differing(change));
    else fresh.push(change);
  }
  const back = reverse(fresh);
  await store().save(fresh, pictures, draft);
  if (fresh.length < changes.length) return say("Corrected; it waits to be sent again.");
  say(words, async () => {
    await store().save(back);
    say("Taken back.");
  });
}

/** What takes these changes back, read off the rows before they are made. */
function reverse(changes: readonly Change[]): Change[] {
  const rows = store().rows.peek();
  return changes.map((change): Change => {
    const { kind, id } = change;
    if (change.verb === "patch") {
      const before = rows.get(id)?.fields as Record<string, unknown> | undefined;
      const fields = Object.fromEntries(changedIn(change).map((name) => [name, before?.[name]]));
      return { verb: "patch", kind, id, fields } as Change;
    }
    return { verb: change.verb === "delete" ? "restore" : "delete", kind, id };
  });
}

/** One change of one record, once per tap; then back home. */
export async function write(change: Change, words: string, home?: string): Promise<boolean> {
  const done = await once(`${change.verb} ${change.id}`, () => keep([change], words));
  if (done && home) back(home);
  return done;
}
