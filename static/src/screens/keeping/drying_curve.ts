/** Where the points of a drying curve lie and which of them have room for their words. Pure. */
export interface Weighed {
  minutes: number;
  grams: number;
  cooled: boolean;
}

export interface Drawn extends Weighed {
  x: number;
  y: number;
  /** its words fit beside those drawn before it */
  named: boolean;
}

export interface Curve {
  points: Drawn[];
  /** the expected end as a band: its upper and lower edge */
  band: readonly [top: number, bottom: number] | null;
}

export const WIDTH = 340;
export const HEIGHT = 210;
const LEFT = 22;
const RIGHT = WIDTH - 26;
const TOP = 30;
const BOTTOM = HEIGHT - 26;
const ROOM = 52; // for a mass such as "1.25 kg"

export function curve(
  weighed: readonly Weighed[],
  likely: readonly [low: number, high: number] | null,
): Curve {
  const most = Math.max(...weighed.map(({ grams }) => grams), likely?.[1] ?? 0, 1);
  const last = Math.max(...weighed.map(({ minutes }) => minutes), 1);
  const y = (grams: number) => BOTTOM - ((BOTTOM - TOP) * grams) / most;
  const x = (minutes: number) => LEFT + ((RIGHT - LEFT) * Math.max(0, minutes)) / last;
  const placed = weighed.map((each) => ({ ...each, x: x(each.minutes), y: y(each.grams), named: false }));
  return { points: named(placed), band: likely && [y(likely[1]), y(likely[0])] };
}

/** The first and the last are named always, the others where there is room between. */
function named(points: Drawn[]): Drawn[] {
  const end = points.at(-1);
  let free = Number.NEGATIVE_INFINITY;
  return points.map((point) => {
    const fits =
      point === end || (point.x >= free && (!end || point.x <= end.x - ROOM || point === points[0]));
    if (fits) free = point.x + ROOM;
    return { ...point, named: fits };
  });
}

/** "20 min", "3 h", "3.5 h", "2 days". */
export function lengthWords(minutes: number): string {
  if (minutes < 60) return `${Math.round(minutes)} min`;
  const hours = minutes / 60;
  if (hours < 10) return `${hours.toFixed(1).replace(".0", "")} h`;
  return hours < 72 ? `${Math.round(hours)} h` : `${Math.round(hours / 24)} days`;
}
