/** What is asked back of a load's weights: never refused, as the scale stands beside the grower and not here. */
import { DRY_SHARE_HIGH, DRY_SHARE_LOW, plausible_dry_share } from "../../calc/drying";
import type { DryingView } from "../../records/keeping_view";
import type { Id, Instant } from "../../records/types";
import { instantOf, timeWords } from "../dates";
import { plain } from "./amounts";

/** The question, and the words of a yes. */
export interface Question {
  words: string;
  yes: string;
}

const USUAL = `${100 * DRY_SHARE_LOW} to ${100 * DRY_SHARE_HIGH} %`;

/** A weighing on the way: it may rise only where damp came in, and weigh no more than went in. `self`: the one being corrected. */
export function askWeighing(load: DryingView, mass_g: number, at: Instant, self?: Id): Question | null {
  const yes = `Yes, ${plain(mass_g)} is right`;
  const { wet_g } = load;
  if (wet_g > 0 && mass_g > wet_g)
    return {
      words: `${plain(mass_g)} is more than the ${plain(wet_g)} that went in. Is a tray on the scale?`,
      yes,
    };
  // What was weighed warm read light: a later one may well stand above it.
  const before = load.weighings.findLast(
    (each) => each.id !== self && each.fields.cooled && Date.parse(each.fields.at) <= Date.parse(at),
  )?.fields;
  if (before && mass_g > before.mass_g + (load.fields.scale_step_g ?? 1))
    return {
      words: `${plain(mass_g)} is above the ${plain(before.mass_g)} of ${timeWords(before.at)}: a tray, or damp?`,
      yes,
    };
  if (wet_g > 0 && mass_g < DRY_SHARE_LOW * wet_g) return { words: unusual(mass_g, wet_g), yes };
  return null;
}

/** The load as it comes out. */
export function askDried(load: DryingView, dry_g: number): Question | null {
  const { wet_g } = load;
  const yes = `Yes, dried ${plain(dry_g)} is right`;
  if (wet_g === 0) return null;
  if (dry_g > wet_g)
    return {
      words: `Dried ${plain(dry_g)} is above the ${plain(wet_g)} that went in: pounds for grams, or a tray?`,
      yes,
    };
  return plausible_dry_share(wet_g, dry_g) ? null : { words: unusual(dry_g, wet_g), yes };
}

function unusual(dry_g: number, wet_g: number): string {
  const share = (100 * dry_g) / wet_g;
  return `${plain(dry_g)} from ${plain(wet_g)} is ${share.toFixed(share < 1 ? 1 : 0)} %; ${USUAL} is usual. Check this weight?`;
}

/** What is wrong with the time of something done to a load; "" when nothing is. */
export function wrongTime(when: string, started: Instant, now: number): string {
  if (when === "") return "";
  const at = Date.parse(instantOf(when) ?? "");
  if (Number.isNaN(at)) return "Choose the day and the time, or leave it at now.";
  if (at > now + 60_000) return "That is still to come. Choose now or earlier.";
  return at < Date.parse(started) ? "The load was put in later than that. Correct one of the two." : "";
}
