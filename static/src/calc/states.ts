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

// What says that nothing of a flush stands any more.
const FLUSH_ENDS = ["pins_dried", "flush_over"];

/** What had been noted of one block by `now`. */
function by(
  now: number,
  happenings: readonly Noted[],
  picks: readonly PickedAt[] = [],
  photos: readonly Seen[] = [],
) {
  const past = (at: number): boolean => instant(at) <= instant(now);
  const noted = happenings.filter(({ at }) => past(at));
  const seen = photos.filter(({ taken }) => past(taken));
  const last = (...whats: string[]): number =>
    latest(noted.filter((h) => whats.includes(h.what)).map((h) => h.at));
  const pictured = (...stages: string[]): number[] =>
    seen.filter(({ stage }) => stages.includes(stage)).map(({ taken }) => taken);
  const pick = latest(picks.map(({ at }) => at).filter(past));
  const ended = last("soaked", ...FLUSH_ENDS);
  const pins = latest([last("pins_seen"), ...pictured("knots", "pins")]);
  // Nothing picked is no flush that could be over.
  const over = pick !== NEVER && (ended > pick || pins > pick || now - pick > STILL_FRUITING_MS);
  // From `began` on what is seen belongs to the flush to come, or to more of the one that stands.
  return { noted, last, pictured, pick, pins, over, began: latest([ended, pick]) };
}

/**
 * The state of a block at the instant `now`; whatever is dated after it is left out.
 *
 * discarded: noted, and not opened again since. spent: noted, and nothing picked, pinned, soaked or opened since.
 * soaking: put in and not out yet. Then what was seen since the last pick or soak, or since pins dried up or a flush was
 * called over: fruiting on a photo of young or ready mushrooms, pinning on pins noted or a photo of knots or pins.
 * fruiting too: picked in the last 7 days and nothing of that since. Else resting. "Since" is strictly later.
 * Source: common practice, no source.
 */
export function block_state(
  happenings: readonly Noted[],
  picks: readonly PickedAt[],
  photos: readonly Seen[],
  now: number,
): State {
  const { noted, last, pictured, pick, pins, began } = by(now, happenings, picks, photos);
  const soak = last("soaked");
  const woken = last("pins_seen", "opened");

  if (holds(last("discarded"), last("opened"))) return "discarded";
  if (holds(last("spent"), woken, soak, pick)) return "spent";
  if (holds(soak, woken, pick) && !out_again(noted, soak, now)) return "soaking";
  if (latest(pictured("young", "ready")) > began) return "fruiting";
  if (pins > began) return "pinning";
  return now - pick <= STILL_FRUITING_MS && holds(pick, began) ? "fruiting" : "resting";
}

/** When the pins or caps of the flush to come were first seen; null where none were since the last pick, soak or end of a flush. Caps beside a flush that is still picked are more of it. */
export function pins_since(
  happenings: readonly Noted[],
  picks: readonly PickedAt[],
  photos: readonly Seen[],
  now: number,
): number | null {
  const { noted, pictured, pick, began, over } = by(now, happenings, picks, photos);
  if (pick !== NEVER && !over) return null;
  const pins = noted.filter(({ what }) => what === "pins_seen").map(({ at }) => at);
  const seen = [...pins, ...pictured("knots", "pins", "young", "ready")].filter((at) => at > began);
  return seen.length > 0 ? Math.min(...seen) : null;
}

/**
 * Number of the flush that the next pick most likely belongs to: the highest yet, or 1; the one after it where a soak,
 * pins, dried-up pins or the end of the flush was noted, or knots or pins were photographed, after the last pick, or
 * that pick is more than 7 days ago.
 */
export function flush_to_pick(
  happenings: readonly Noted[],
  picks: readonly PickedAt[],
  photos: readonly Seen[],
  now: number,
): number {
  const { over } = by(now, happenings, picks, photos);
  return open_flush(picks) + (over ? 1 : 0); // a pick from a phone whose clock is ahead has its number all the same
}

/** When contamination was last noted of a block that was neither discarded nor called spent since; else null. */
export function contaminated_since(happenings: readonly Noted[], now: number): number | null {
  const { last } = by(now, happenings);
  const noted = last("contamination");
  return holds(noted, last("discarded", "spent")) ? noted : null;
}

/** Number of the last flush that was picked from: the highest yet, or 1. */
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
