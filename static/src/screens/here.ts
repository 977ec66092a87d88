/** What every screen reads: the farm joined from the phone's records, each block's state and figures, and the time. */
import { computed, signal } from "@preact/signals";
import { type BlockFigures, block_figures } from "../calc/figures";
import {
  block_state,
  contaminated_since,
  flush_to_pick,
  open_flush,
  pins_since,
  type State,
} from "../calc/states";
import { type BlockView, type FarmView, farmView, grown, noted } from "../records/farm_view";
import { type KeepingView, keepingView } from "../records/keeping_view";
import { mass_parts, UNITS, type Unit } from "../records/masses";
import type { Role } from "../records/types";
import type { FarmStore } from "../store/api";
import { sync } from "../sync";
import { dayOf } from "./dates";

/** The time, moved on every half minute: states and "20 min ago" depend on it. */
export const now = signal(Date.now());

export const farm = computed<FarmView>(() => farmView(sync.door.value.store?.rows.value.values() ?? []));

export const keeping = computed<KeepingView>(() => keepingView(farm.value));

export const role = computed<Role>(() => sync.door.value.who?.farm.role ?? "viewer");
export const isOwner = computed(() => role.value === "owner");
export const mayPick = computed(() => role.value !== "viewer");

/** Until this phone has once read to the head, what it shows is not all there is. */
export const fetching = computed(() => sync.pass.value.lastDone === null);

/** The signed-in farm's store; screens are drawn only while there is one. */
export function store(): FarmStore {
  const { store: open } = sync.door.value;
  if (!open) throw new Error("no farm is open");
  return open;
}

// A view is made anew with every change of the records, so what was worked out of it can be kept with it.
const stood = new WeakMap<BlockView, Stood & { at: number }>();
const figures = new WeakMap<BlockView, { ended: boolean; figures: BlockFigures }>();

/** How a block stands now. flush: of the next pick, most likely. pins, contaminated: since when, in ms; null where not so. */
export interface Stood {
  state: State;
  flush: number;
  pins: number | null;
  contaminated: number | null;
}

export function standingOf(view: BlockView): Stood {
  const known = stood.get(view);
  const at = now.value;
  if (known?.at === at) return known;
  const { happenings, picks, photos } = noted(view);
  const found = {
    at,
    state: block_state(happenings, picks, photos, at),
    flush: flush_to_pick(happenings, picks, photos, at),
    pins: pins_since(happenings, picks, photos, at),
    contaminated: contaminated_since(happenings, at),
  };
  stood.set(view, found);
  return found;
}

export function stateOf(view: BlockView): State {
  return standingOf(view).state;
}

export function hasEnded(view: BlockView): boolean {
  const state = stateOf(view);
  return state === "spent" || state === "discarded";
}

export function grownOf(view: BlockView) {
  return grown(view, hasEnded(view), dayOf);
}

export function figuresOf(view: BlockView): BlockFigures {
  const ended = hasEnded(view);
  const known = figures.get(view);
  if (known?.ended === ended) return known.figures;
  const made = block_figures(grownOf(view));
  figures.set(view, { ended, figures: made });
  return made;
}

export function openFlush(view: BlockView): number {
  return open_flush(view.picks.map(({ fields }) => fields));
}

export function unpicked(view: BlockView): string {
  return hasEnded(view) ? "never picked" : "nothing picked yet";
}

/** The name to call a block's variety by. */
export function varietyName(view: BlockView): string {
  return view.variety?.fields.name ?? "Variety not here yet";
}

/** The unit chosen on this phone: masses are shown in its family, and a bare number counts as it. */
export const unit = signal(remembered("unit") ?? "g");

export function chooseUnit(chosen: Unit): void {
  unit.value = chosen;
  remember("unit", chosen);
  remember("pad", chosen);
}

/** The pad's own unit, that of the scale, changes nothing elsewhere. */
export function padUnit(): Unit {
  return remembered("pad") ?? unit.value;
}

export function remember(what: "unit" | "pad", chosen: Unit): void {
  try {
    localStorage.setItem(`harvestlog.${what}`, chosen);
  } catch {
    // a phone that keeps nothing for pages still weighs
  }
}

function remembered(what: string): Unit | undefined {
  try {
    const kept = localStorage.getItem(`harvestlog.${what}`);
    return UNITS.find((each) => each === kept);
  } catch {
    return undefined;
  }
}

/** Scales in grams still want kilograms for a whole harvest. */
const family = computed<Unit>(() => (unit.value === "g" || unit.value === "kg" ? "kg" : "lb"));

export function mass(grams: number): string {
  return massParts(grams)
    .map((part) => part.join(" "))
    .join(" ");
}

/** "10 oz", where "10.0 oz" would claim a scale's step. */
export function massParts(grams: number) {
  return mass_parts(grams, family.value).map(([digits, word]) => [digits.replace(/\.0$/, ""), word] as const);
}

export function tick(): void {
  now.value = Date.now();
}

export function startClock(): void {
  setInterval(tick, 30_000);
  document.addEventListener("visibilitychange", tick);
}
