/** A question to the server: its last answer at once, with its date; and asked anew when there is news and a signal. */
import { computed } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Instant } from "../../records/types";
import { sync } from "../../sync";
import { dayOf, localDay } from "../dates";
import { now, store } from "../here";
import { type Anew, type Asked, isDue, isRested } from "./ask_when";
import { zone } from "./wire";

export const NO_SIGNAL = "No signal.";

/** The last number in the farm's order that this phone has read: it rises with whatever anybody records. */
const newest = computed(() => {
  let seq = 0;
  for (const row of sync.door.value.store?.rows.value.values() ?? []) seq = Math.max(seq, row.seq);
  return seq;
});

interface Kept<T> {
  path: string;
  /** how far this phone had read when it asked */
  upto: number;
  /** null where no answer was ever heard */
  said: T | null;
  heard: Instant;
}

export interface Answered<T> {
  /** undefined until the phone has looked; null where no answer was ever heard */
  said: T | null | undefined;
  heard: Instant;
  upto: number;
  asking: boolean;
  /** why there is no newer answer, in words; "" while there is nothing to say */
  trouble: string;
  askAgain: () => Promise<void>;
}

interface Question<T> {
  /** what it is kept under */
  name: string;
  path: string;
  whole: (body: unknown) => body is T;
  /** days are counted in the calendar the grower lives by; the answer is the same one in another zone */
  zoned?: boolean;
  anew?: Anew;
}

// When each question was last asked since its screen was opened.
const asked = new Map<string, Asked>();

export function useAnswer<T>(question: Question<T>): Answered<T> {
  const { path, anew = "on news" } = question;
  const [held, setHeld] = useState<Kept<T> | null>(null);
  const [asking, setAsking] = useState(false);
  const [trouble, setTrouble] = useState("");
  const wanted = useRef(path);
  wanted.current = path;
  // Of an answer to a question that was left meanwhile nothing is shown.
  const show = (kept: Kept<T>) => wanted.current === kept.path && setHeld(kept);
  const ask = async () => {
    setAsking(true);
    try {
      show(await askServer(question));
      setTrouble("");
    } catch (error) {
      setTrouble(error instanceof Error ? error.message : String(error));
    }
    setAsking(false);
  };
  useEffect(() => {
    asked.delete(path); // whoever comes anew wants to see what is new
    setTrouble("");
    void keptAnswer(question).then(show);
  }, [path]);
  const kept = held?.path === path ? held : null;
  const pass = sync.pass.value;
  // Before the first pass nothing is read yet: all there is would count as new since the answer.
  const rests = pass.now === "resting" && pass.trouble === null && pass.lastDone !== null;
  const ready = kept !== null && rests && !asking;
  useEffect(() => {
    if (!ready || !isRested(asked.get(path), pass.lastDone, Date.now())) return;
    const last = kept.said === null ? null : { upto: kept.upto, day: dayOf(kept.heard) };
    if (isDue(last, anew, newest.value, localDay(new Date()))) void ask();
  }, [path, ready, pass.lastDone, newest.value, now.value]);
  return {
    said: kept?.said,
    heard: kept?.heard ?? "",
    upto: kept?.upto ?? 0,
    asking,
    trouble: pass.trouble === null ? trouble : pass.trouble === "no server" ? NO_SIGNAL : pass.detail,
    askAgain: ask,
  };
}

/** What this phone has of it; an answer of another release, or to other days, is none. */
async function keptAnswer<T>({ name, path, whole }: Question<T>): Promise<Kept<T>> {
  const none = { path, upto: 0, said: null, heard: "" };
  const found = await store()
    .answer(name)
    .catch(() => undefined);
  const body = (found?.body ?? {}) as { path?: string; upto?: number; said?: unknown };
  if (!found || body.path !== path || !whole(body.said)) return none;
  return { path, upto: body.upto ?? 0, said: body.said, heard: found.heard };
}

async function askServer<T>({ name, path, whole, zoned }: Question<T>): Promise<Kept<T>> {
  const upto = newest.peek();
  asked.set(path, { at: Date.now(), failed: true });
  const said = await sync.ask<unknown>("GET", zoned ? inZone(path) : path);
  if (!whole(said)) throw new Error("The server answers in a way this app does not know. Load the app anew.");
  asked.set(path, { at: Date.now(), failed: false });
  await store().keepAnswer(name, { path, upto, said });
  return { path, upto, said, heard: new Date().toISOString() };
}

function inZone(path: string): string {
  return `${path}${path.includes("?") ? "&" : "?"}zone=${encodeURIComponent(zone())}`;
}
