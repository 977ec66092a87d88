/** What is asked back of a drained weighing, and the minutes the clock offers for it. */
import { rehydration_ratio } from "../../calc/rehydration";
import type { Standing } from "../../records/farm_view";
import type { TrialView } from "../../records/keeping_view";
import { typedText } from "../../records/typed";
import { readNumber } from "../../records/typed_numbers";
import type { Id } from "../../records/types";
import { mass } from "../here";
import type { Asked, Scaled } from "../keeping/scale_page";
import { unless } from "../keeping/unless";

export interface Drained extends Scaled {
  minutes: string;
}

const MINUTE = 60_000;
const DAY_MIN = 1440; // later, the clock since the start offers no minutes any more
const LONGEST_MIN = 7 * DAY_MIN;
// Published ratios end at 7.7 (Foods 11(9):1303, 2022); half as much again is asked back (our rule).
const MOST_TIMES = 12;
const LOST_SHARE = 0.9; // below this share of an earlier weighing (our rule)

/** Whole minutes since it went into the water; "" where the clock cannot know. */
export function clockMinutes(at: string, now: number): string {
  const minutes = Math.round((now - Date.parse(at)) / MINUTE);
  return minutes >= 0 && minutes <= DAY_MIN ? String(minutes) : "";
}

/** "44 min", "1 h 44 min", "2 h" */
export function hoursWords(minutes: number): string {
  const [hours, rest] = [Math.floor(minutes / 60), minutes % 60];
  return [hours > 0 && `${hours} h`, (rest > 0 || hours === 0) && `${rest} min`].filter(Boolean).join(" ");
}

/** null where nothing is odd. `self`: the weighing that is corrected. */
export function askDrained(state: Drained, grams: number, view: TrialView, self?: Id): Asked<Drained> | null {
  const others = view.weighings.filter(({ id }) => id !== self);
  const minutes = wrongMinutes(state.minutes, others);
  if (minutes) return { words: minutes, field: "when" };
  const lighter = unless(() => rehydration_ratio(grams, view.fields.dry_g));
  if ("refusal" in lighter) return { words: lighter.refusal, late: true };
  const confirmed = `${typedText(state.typed)}|${state.minutes}`;
  const words = unlikely(state, grams, view, others);
  if (!words || state.confirmed === confirmed) return null;
  return { words, answers: [[`Yes, ${typedText(state.typed)}`, { confirmed }]], late: true };
}

type Others = readonly Standing<"trial_weighing">[];

function wrongMinutes(text: string, others: Others): string {
  const minutes = readNumber(text, 0, LONGEST_MIN);
  if (minutes === null) return "Write the minutes since it went into the water.";
  if (Number.isNaN(minutes)) return `“${text}” is no number of minutes from 0 to ${LONGEST_MIN}.`;
  const same = others.find(({ fields }) => fields.minutes === minutes);
  if (!same) return "";
  const grams = mass(same.fields.drained_g);
  return `At ${minutes} min there is ${grams} already: correct that one, or give another time.`;
}

function unlikely({ typed, minutes }: Drained, grams: number, { fields }: TrialView, others: Others): string {
  const times = grams / fields.dry_g;
  if (times > MOST_TIMES)
    return `${typedText(typed)} is ${times.toFixed(0)} times the dry ${mass(fields.dry_g)}: is the unit right, and was it drained?`;
  const at = readNumber(minutes, 0, LONGEST_MIN) ?? 0;
  const earlier = others.findLast(
    (one) => one.fields.minutes < at && grams < LOST_SHARE * one.fields.drained_g,
  );
  if (!earlier) return "";
  return `At ${earlier.fields.minutes} min it weighed ${mass(earlier.fields.drained_g)}, and water seldom leaves again: check this weight.`;
}
