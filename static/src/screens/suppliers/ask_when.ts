/** When a question is put to the server again. */
import type { Day, Instant } from "../../records/types";

/** on news: when records changed or the day did. on visits: it changes with what no record tells. once: it never changes. */
export type Anew = "on news" | "on visits" | "once";

/** The last answer: how far the phone had read the farm's history when it asked, and on which day it heard. */
export interface Last {
  upto: number;
  day: Day;
}

/** The last time it was asked, in ms, and whether that was in vain. */
export interface Asked {
  at: number;
  failed: boolean;
}

const MOST_OFTEN_MS = 60_000;

/** Whether an answer is wanted; `last` is null where none was ever heard. */
export function isDue(last: Last | null, anew: Anew, newest: number, today: Day): boolean {
  if (last === null || anew === "on visits") return true;
  return anew === "on news" && (last.upto !== newest || last.day !== today);
}

/**
 * The server reckons over all records: while a screen stays open, others that weigh must not have it do so for every pick. What was
 * asked in vain is asked again once a pass has gone through since.
 */
export function isRested(asked: Asked | undefined, lastPass: Instant | null, now: number): boolean {
  if (!asked || now - asked.at >= MOST_OFTEN_MS) return true;
  if (now < asked.at) return true; // a clock that was set back must not stop the questions for years
  return asked.failed && lastPass !== null && Date.parse(lastPass) > asked.at;
}
