/** What needs a look today, from each block's state and what was last noted of it. Pure: the time is handed in. */
import type { BlockView } from "./farm_view";

const HOUR = 3_600_000;
const DAY = 24 * HOUR;

// Common practice, no source: how long a block may rest, and a soak be overdue, before it is worth a sentence.
const LONG_REST_DAYS = 14;
const LONG_WAIT_DAYS = 28;
const SOAK_SHOWN_FOR = 2 * DAY;
// Days from pins to picking where the catalogue knows none, 4 to 7, and how long caps stay ready (common practice, no source).
const MOST_PIN_DAYS = 7;
// After twice the days they may take it is asked what became of pins (judgement, no source).
const LONG_GONE = 2;
// Pins that are to be looked for this soon are worth a line today (judgement, no source).
const SOON = 3 * DAY;

export type Reason =
  | "contaminated"
  | "soak"
  | "ready"
  | "picking"
  | "pins"
  | "lost"
  | "look"
  | "resting"
  | "soon";

export interface Due {
  why: Reason;
  view: BlockView;
  /** soak: planned end. look, soon: when pins are to be looked for. Else when the thing was last seen, in ms since 1970. */
  since: number;
  /** soak only: the happening whose end is due */
  soak: BlockView["happenings"][number] | undefined;
  /** what may be noted of it where there is nothing to weigh */
  end: "pins_dried" | "flush_over" | null;
}

/** What is usual of a species, in days, and when a resting block's pins are expected, in ms; null where nothing is known or expected. */
export interface Pace {
  pinToHarvestLow: number | null;
  pinToHarvestHigh: number | null;
  betweenFlushesHigh: number | null;
  lookFrom: number | null;
}

/** pins, contaminated: since when, in ms; null where not so. */
export interface Stood {
  view: BlockView;
  state: string;
  pins: number | null;
  contaminated: number | null;
}

const ORDER: readonly Reason[] = [
  "contaminated",
  "soak",
  "ready",
  "picking",
  "pins",
  "lost",
  "look",
  "resting",
  "soon",
];

/** Sorted by what cannot wait: contamination, soaks, ripe blocks, open flushes, pins seen, pins nobody has spoken of since, pins expected, long rests; the oldest first within each. */
export function dueToday(blocks: Iterable<Stood>, now: number, paceOf: (view: BlockView) => Pace): Due[] {
  const due: Due[] = [];
  for (const stood of blocks) {
    const found = blockDue(stood, now, paceOf);
    if (found) due.push(found);
  }
  return due.sort((a, b) => ORDER.indexOf(a.why) - ORDER.indexOf(b.why) || a.since - b.since);
}

function blockDue(stood: Stood, now: number, paceOf: (view: BlockView) => Pace): Due | undefined {
  const { view, state, contaminated } = stood;
  if (contaminated !== null && state !== "discarded") return item("contaminated", view, contaminated);
  if (state === "spent" || state === "discarded") return undefined;
  const soak = soakDue(view, now);
  return soak ?? (state === "soaking" ? undefined : growthDue(stood, now, paceOf(view)));
}

function item(why: Reason, view: BlockView, since: number, end: Due["end"] = null): Due {
  return { why, view, since, soak: undefined, end };
}

/** The last soak, from a day before its planned end until something later was noted of the block. */
function soakDue(view: BlockView, now: number): Due | undefined {
  const soak = view.happenings.findLast(({ fields }) => fields.what === "soaked");
  if (!soak || soak.fields.until === null) return undefined;
  const until = Date.parse(soak.fields.until);
  if (until - now > DAY || now - until > SOAK_SHOWN_FOR || lastNoted(view) >= until) return undefined;
  return { ...item("soak", view, until), soak };
}

function growthDue({ view, state, pins }: Stood, now: number, pace: Pace): Due | undefined {
  if (state === "fruiting" || state === "pinning") return standingDue(view, pins, now, pace);
  const { lookFrom } = pace;
  if (lookFrom !== null) {
    if (lookFrom <= now) return item("look", view, lookFrom);
    return lookFrom - now <= SOON ? item("soon", view, lookFrom) : undefined;
  }
  const since = restingSince(view);
  const patience = view.picks.length > 0 ? (pace.betweenFlushesHigh ?? LONG_REST_DAYS) : LONG_WAIT_DAYS;
  return now - since > patience * DAY ? item("resting", view, since) : undefined;
}

/** Ready by their photo, else by their days; pins and caps that nobody has spoken of for long are asked after. */
function standingDue(view: BlockView, pins: number | null, now: number, pace: Pace): Due {
  const ready = latest(
    view.photos.filter(({ fields }) => fields.stage === "ready").map((p) => p.fields.taken),
  );
  const picked = latest(view.picks.map(({ fields }) => fields.at));
  if (ready > picked && ready >= (pins ?? ready)) {
    const gone = now - ready > MOST_PIN_DAYS * DAY;
    return gone ? item("lost", view, ready, "flush_over") : item("ready", view, ready);
  }
  if (pins === null) return item("picking", view, Math.max(picked, lastNoted(view)), "flush_over");
  const days = (now - pins) / DAY;
  if (days > LONG_GONE * (pace.pinToHarvestHigh ?? MOST_PIN_DAYS))
    return item("lost", view, pins, "pins_dried");
  const ripe = pace.pinToHarvestLow !== null && days >= pace.pinToHarvestLow;
  return item(ripe ? "ready" : "pins", view, pins, "pins_dried");
}

function restingSince(view: BlockView): number {
  const received = view.delivery ? Date.parse(`${view.delivery.fields.received}T12:00:00`) : -Infinity;
  const noted = view.happenings
    .filter(({ fields }) => ["opened", "soaked", "moved", "pins_dried", "flush_over"].includes(fields.what))
    .map(({ fields }) => fields.until ?? fields.at);
  const last = Math.max(received, latest([...noted, ...view.picks.map(({ fields }) => fields.at)]));
  return Number.isFinite(last) ? last : Infinity;
}

function lastNoted(view: BlockView): number {
  return latest([
    ...view.happenings.map(({ fields }) => fields.at),
    ...view.picks.map(({ fields }) => fields.at),
    ...view.photos.map(({ fields }) => fields.taken),
  ]);
}

function latest(instants: readonly string[]): number {
  return instants.reduce((last, at) => Math.max(last, Date.parse(at)), -Infinity);
}
