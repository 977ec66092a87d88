/** What a soaking trial says, by the calculations of soaking back: its points, its curve, or why there is none. */
import { PUBLISHED_WATER } from "../../calc/estimates";
import { type Peleg, soak_minutes, water_taken_up_g } from "../../calc/rehydration";
import { came_back, DRIED_WATER_PCT, ratio_at, trial_curve, trial_ratios } from "../../calc/trials";
import type { TrialView } from "../../records/keeping_view";
import { daysWords } from "../dates";
import { mass } from "../here";
import { unless } from "../keeping/unless";

export interface Point {
  id: string;
  minutes: number;
  drained_g: number;
  /** null where the weighing cannot be: it is lighter than dry */
  ratio: number | null;
}

export interface TrialFacts {
  points: Point[];
  curve: Peleg | null;
  /** why there is no curve, in the calculation's own words */
  refusal: string;
  /** minutes until nearly all the water is in, by the curve */
  nearly: number | null;
  /** the last of the weighings, in minutes */
  longest: number;
  /** the ratio at `nearly` where the weighings reach so far, else the highest weighed */
  soaked_ratio: number | null;
}

export function trialFacts({ fields, weighings }: TrialView): TrialFacts {
  const points = weighings.map(({ id, fields: { minutes, drained_g } }): Point => {
    const read = unless(() => trial_ratios(fields.dry_g, [[minutes, drained_g]]));
    return { id, minutes, drained_g, ratio: "value" in read ? (read.value[0]?.[1] ?? null) : null };
  });
  const curve = unless(() =>
    trial_curve(
      fields.dry_g,
      points.map(({ minutes, drained_g }) => [minutes, drained_g] as const),
    ),
  );
  const fitted = "value" in curve ? curve.value : null;
  const nearly = fitted && soak_minutes(fitted);
  const longest = Math.max(0, ...points.map(({ minutes }) => minutes));
  const weighed = points.flatMap(({ ratio }) => ratio ?? []);
  const highest = weighed.length > 0 ? Math.max(...weighed) : null;
  return {
    points,
    curve: fitted,
    refusal: "value" in curve ? "" : curve.refusal,
    nearly,
    longest,
    soaked_ratio: fitted && nearly !== null && nearly <= longest ? ratio_at(fitted, nearly) : highest,
  };
}

export function trialName({ fields, variety }: TrialView): string {
  return `${mass(fields.dry_g)} of ${variety?.fields.name ?? "dried mushrooms"}`;
}

/** How long to soak, in a sentence; "" without a curve. */
export function soakWords({ nearly, longest }: TrialFacts): string {
  if (nearly === null) return "";
  const about = minutesWords(nearly);
  if (nearly <= longest) return `Soak about ${about}: by then it has nearly all of the water it will take.`;
  return `By its curve it has nearly all of the water after about ${about}. Your last weighing was at ${minutesWords(longest)}: weigh again later to be sure.`;
}

/** "7 min", "35 min", "2 h 10 min": no finer than a kitchen needs. */
export function minutesWords(minutes: number): string {
  const step = minutes < 20 ? 1 : minutes < 120 ? 5 : 10;
  const rounded = Math.max(1, Math.round(minutes / step) * step);
  if (rounded < 120) return `${rounded} min`;
  if (rounded >= 2880) return daysWords(Math.round(rounded / 1440));
  return rounded % 60 === 0 ? `${rounded / 60} h` : `${Math.floor(rounded / 60)} h ${rounded % 60} min`;
}

/** Share of the fresh mass that came back, and on what ground; null where the species' water is not published. */
export function cameBack(
  { fields, variety }: TrialView,
  drained_g: number,
): { share: number; ground: string } | null {
  const species = variety?.fields.species ?? "";
  const share = unless(() => came_back(drained_g, fields.dry_g, species));
  if (!("value" in share) || share.value === null) return null;
  const [water_pct, source] = PUBLISHED_WATER[species] ?? [];
  const ground = `taken: ${water_pct} % water fresh (USDA ${source}) and ${DRIED_WATER_PCT} % dried`;
  return { share: share.value, ground };
}

export function takenUp(dry_g: number, ratio: number): number {
  return water_taken_up_g(dry_g, ratio);
}
