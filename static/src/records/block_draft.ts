/** A block and a delivery as they are written in a form, and the records they become. Pure. */
import { doubtMass } from "./block_mass";
import type { FarmView } from "./farm_view";
import { parse_mass, type Unit } from "./masses";
import { noCelsius, readCelsius } from "./typed_numbers";
import type { Block, Day, Delivery, DryBasis, Form, Id, Instant } from "./types";

export interface BlockDraft {
  variety: Id; // "" while none is chosen
  form: Form;
  wet: string;
  dry_basis: DryBasis;
  dry: string;
  moisture: string;
  low: string;
  high: string;
  place: Id; // "" for none
  placeName: string; // of a new one
  note: string;
  /** the wet mass, as typed, that the grower has said yes to */
  sure: string;
}

export type Wrong<Field extends string> = Partial<Record<Field, string>>;
export type Read<Fields, Field extends string> =
  | { fields: Fields; wrong?: never }
  | { wrong: Wrong<Field>; fields?: never };

export const BLANK_BLOCK: BlockDraft = {
  variety: "",
  form: "bag",
  wet: "",
  dry_basis: "none",
  dry: "",
  moisture: "",
  low: "55",
  high: "70",
  place: "",
  placeName: "",
  note: "",
  sure: "",
};

/** `shown` writes a mass for people, rounded: see `unrounded`. */
export function draftOf(block: Block, shown: (grams: number) => string): BlockDraft {
  const grams = (g: number | null) => (g === null ? "" : shown(g));
  const number = (n: number | null) => (n === null ? "" : String(n));
  return {
    variety: block.variety,
    form: block.form,
    wet: grams(block.wet_g),
    sure: grams(block.wet_g),
    dry_basis: block.dry_basis,
    dry: grams(block.dry_g),
    moisture: number(block.moisture_pct),
    low: number(block.moisture_low_pct) || BLANK_BLOCK.low,
    high: number(block.moisture_high_pct) || BLANK_BLOCK.high,
    place: block.place ?? "",
    placeName: "",
    note: block.note,
  };
}

export type BlockFields = Omit<Block, "label" | "delivery">;

/** Each figure that is wrong, with a sentence for beside it; else the fields of the block. */
export function readBlock(draft: BlockDraft, unit: Unit): Read<BlockFields, keyof BlockDraft> {
  const wrong: Wrong<keyof BlockDraft> = {};
  const take = <T>(field: keyof BlockDraft, read: T | Fault): T | null => {
    if (!(read instanceof Fault)) return read;
    wrong[field] = read.words;
    return null;
  };
  const basis = draft.dry_basis;
  const moist = basis === "measured" || basis === "assumed";
  if (draft.variety === "") wrong.variety = "Choose the variety.";
  const wet_g = take("wet", draft.wet.trim() === "" && !moist ? null : mass(draft.wet, unit, moist));
  const doubt = draft.sure === draft.wet ? null : doubtMass(draft.wet, unit);
  if (doubt) wrong.wet ??= doubt.asked;
  const dry_g = basis === "stated" || basis === "oven" ? take("dry", mass(draft.dry, unit)) : null;
  const moisture_pct = basis === "measured" ? take("moisture", percent(draft.moisture)) : null;
  const low = basis === "assumed" ? take("low", percent(draft.low)) : null;
  const high = basis === "assumed" ? take("high", percent(draft.high)) : null;
  if (low !== null && high !== null && low > high) wrong.high = `${high} % is below ${low} %: swap the two.`;
  if (dry_g !== null && wet_g !== null && dry_g > wet_g) {
    wrong.dry = `Dry ${dry_g} g is above the wet ${wet_g} g: check both.`;
  }
  if (Object.keys(wrong).length > 0) return { wrong };
  const { variety, form, note } = draft;
  const moistures = { moisture_pct, moisture_low_pct: low, moisture_high_pct: high };
  return {
    fields: { variety, form, wet_g, dry_basis: basis, dry_g, ...moistures, place: draft.place || null, note },
  };
}

/** Masses whose words were left as they were offered keep their grams. */
export function unrounded(
  fields: BlockFields,
  draft: BlockDraft,
  offered: BlockDraft,
  was: Block,
): BlockFields {
  return {
    ...fields,
    wet_g: draft.wet === offered.wet ? was.wet_g : fields.wet_g,
    dry_g: fields.dry_g !== null && draft.dry === offered.dry ? was.dry_g : fields.dry_g,
  };
}

export interface DeliveryDraft {
  received: Day;
  lot: string;
  price: string;
  currency: string;
  stored: string;
  note: string;
}

/** A delivery without a price takes the farm's currency once it gets one. */
export function deliveryDraftOf(
  { received, lot, price, currency, stored_c, note }: Delivery,
  farms: string,
): DeliveryDraft {
  // A delivery from before this field was kept lacks it.
  const stored = String(stored_c ?? "");
  return { received, lot, price: price ?? "", currency: currency || farms, stored, note };
}

export interface FirstPick {
  day: Day;
  label: string;
}

/** The earliest pick of a delivery's blocks: nothing is picked before it has arrived. */
export function firstPick(farm: FarmView, delivery: Id, dayOf: (at: Instant) => Day): FirstPick | null {
  let first: FirstPick | null = null;
  for (const view of farm.block.values()) {
    const pick = view.delivery?.id === delivery && view.picks[0];
    const day = pick && dayOf(pick.fields.at);
    if (day && (!first || day < first.day)) first = { day, label: view.fields.label };
  }
  return first;
}

/** `said` writes a day for people. */
export function readDelivery(
  draft: DeliveryDraft,
  today: Day,
  said: (day: Day) => string,
  first: FirstPick | null = null,
) {
  const wrong: Wrong<keyof DeliveryDraft> = {};
  const { received, lot, note } = draft;
  if (!/^[0-9]{4}-[0-9]{2}-[0-9]{2}$/.test(received)) wrong.received = "Choose the day it arrived.";
  else if (received > today)
    wrong.received = `${said(received)} is still to come. Write it down when it is here.`;
  else if (first && received > first.day) {
    wrong.received = `Arrived on ${said(received)}, but ${first.label} was picked on ${said(first.day)}. Correct one of the two.`;
  }
  const price = readPrice(draft.price);
  if (price instanceof Fault) wrong.price = price.words;
  const currency = price === null ? "" : draft.currency.trim().toUpperCase();
  if (price !== null && !/^[A-Z]{3}$/.test(currency)) {
    wrong.currency = "Write the currency of the price, for example EUR.";
  }
  const stored_c = readCelsius(draft.stored);
  if (Number.isNaN(stored_c)) wrong.stored = noCelsius(draft.stored);
  if (Object.keys(wrong).length > 0 || price instanceof Fault) return { wrong };
  return { fields: { received, lot: lot.trim(), price, currency, stored_c, note } };
}

/** How many blocks; or a sentence. */
export function readCount(text: string): number | string {
  if (text.trim() === "") return "Type how many, 1 to 500.";
  const n = /^[0-9]{1,3}$/.test(text.trim()) ? Number(text) : 0;
  return n >= 1 && n <= 500 ? n : `“${text}” is no number of blocks: type 1 to 500.`;
}

class Fault {
  constructor(readonly words: string) {}
}

function mass(text: string, unit: Unit, needed = false): number | Fault {
  if (needed && text.trim() === "") {
    return new Fault("Moisture says nothing without the wet mass: weigh one, or choose “Not known”.");
  }
  const read = parse_mass(text, unit);
  return "grams" in read ? read.grams : new Fault(read.sentence);
}

function percent(text: string): number | Fault {
  const plain = text.trim().replace(",", ".").replace(/ ?%$/, "");
  const value = /^[0-9]+(\.[0-9]+)?$/.test(plain) ? Number(plain) : Number.NaN;
  return value >= 0 && value < 100 ? value : new Fault(`“${text}” is no moisture: type 0 to 99.`);
}

function readPrice(text: string): string | null | Fault {
  const plain = text.trim().replace(",", ".");
  if (plain === "") return null;
  if (!/^[0-9]{1,9}(\.[0-9]{1,2})?$/.test(plain))
    return new Fault(`“${text}” is no price: type it like 123.50.`);
  return Number(plain).toFixed(2);
}
