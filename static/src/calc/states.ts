/** How a block stands, derived from what was noted, picked and photographed; never typed. Instants are milliseconds since 1970 UTC. */
import { flush_number } from "./acceptable";
import { NotATime } from "./errors";

export type State = "resting" | "soaking" | "pinning" | "fruiting" | "spent" | "discarded";

export interface Noted {
  what: string;
  at: number;
  until?: number | null;
}

export interface PickedAt {
  at: number;
  flush: number;
}

export interface Seen {
  stage: string;
  taken: number;
}

// After the last pick a flush is taken as still going for a week (common practice, no source).
export const STILL_FRUITING_MS = 7 * 24 * 60 * 60 * 1000;

// Before every instant: what never happened.
const NEVER = Number.NEGATIVE_INFINITY;

/**
 * The state of a block at the instant `now`; whatever is dated after it is left out.
 *
 * discarded: noted, and not opened again since. spent: noted, and nothing picked, pinned, soaked or opened since.
 * soaking: put in and not out yet. fruiting: picked in the last 7 days with no soak since, or a photo of young or
 * ready mushrooms since the last pick and soak. pinning: pins noted, or a photo of knots or pins, since then.
 * Else resting. "Since" is strictly later. Source: common practice, no source.
 */
export function block_state(
  happenings: readonly Noted[],
  picks: readonly PickedAt[],
  photos: readonly Seen[],
  now: number,
): State {
  const past = (at: number): boolean => instant(at) <= instant(now);
  const noted = happenings.filter((happening) => past(happening.at));
  const last = (...whats: string[]): number =>
    latest(noted.filter((h) => whats.includes(h.what)).map((h) => h.at));
  const seen = (...stages: string[]): number =>
    latest(photos.filter((p) => past(p.taken) && stages.includes(p.stage)).map((p) => p.taken));
  const pick = latest(picks.map((p) => p.at).filter(past));
  const soak = last("soaked");
  const woken = last("pins_seen", "opened");

  if (holds(last("discarded"), last("opened"))) return "discarded";
  if (holds(last("spent"), woken, soak, pick)) return "spent";
  if (holds(soak, woken, pick) && !out_again(noted, soak, now)) return "soaking";
  if (now - pick <= STILL_FRUITING_MS && holds(pick, soak)) return "fruiting";
  const since = latest([soak, pick]);
  if (seen("young", "ready") > since) return "fruiting";
  return latest([last("pins_seen"), seen("knots", "pins")]) > since ? "pinning" : "resting";
}

/** Number of the flush that the next pick goes into unless the grower starts another: the highest yet, or 1. */
export function open_flush(picks: readonly Pick<PickedAt, "flush">[]): number {
  return picks.reduce((highest, pick) => Math.max(highest, flush_number(pick.flush)), 1);
}

function out_again(noted: readonly Noted[], soak: number, now: number): boolean {
  const until =
    noted.find((happening) => happening.what === "soaked" && happening.at === soak)?.until ?? null;
  return until !== null && now >= instant(until);
}

function instant(at: number): number {
  if (!Number.isFinite(at)) throw new NotATime(`${at} is no time: check the date.`);
  return at;
}

function latest(instants: readonly number[]): number {
  return instants.reduce((last, at) => Math.max(last, at), NEVER);
}

/** Whether `at` ever happened and nothing of the others is later than it. */
function holds(at: number, ...others: number[]): boolean {
  return at !== NEVER && others.every((other) => other <= at);
}
