/** A delivery as it is being written down, and the records it becomes in one save. */
import {
  BLANK_BLOCK,
  type BlockDraft,
  type BlockFields,
  readCount,
  readDelivery,
  type Wrong,
} from "../../records/block_draft";
import type { Unit } from "../../records/masses";
import type { Day, Id } from "../../records/types";
import { type Change, newId } from "../../store";
import { dayWords } from "../dates";
import { freeLabel } from "../free_label";
import { BLANK_VARIETY, type VarietyDraft } from "../parts/variety_fields";
import { readPlaced } from "./placed";

export const NEW = "new";

export interface Line extends BlockDraft {
  count: string;
  fresh: VarietyDraft; // when `variety` is NEW
}

export interface Written {
  supplier: Id; // "" while none is chosen, or NEW
  supplierName: string;
  received: Day;
  lot: string;
  price: string;
  currency: string;
  stored: string;
  note: string;
  lines: Line[];
}

export function blankLine(before?: Line): Line {
  const like = before ?? { ...BLANK_BLOCK, count: "", fresh: BLANK_VARIETY };
  return { ...like, variety: "", count: "", fresh: BLANK_VARIETY };
}

export interface Faults {
  supplier?: string;
  delivery: Wrong<"received" | "lot" | "price" | "currency" | "note">;
  lines: (Wrong<keyof BlockDraft> & { count?: string })[];
}

export interface Made {
  delivery: Id;
  changes: Change[];
}

/** Everything that is wrong at once, so that nobody corrects in rounds; else the records. */
export function readWritten(
  written: Written,
  today: Day,
  unit: Unit,
  taken: ReadonlySet<string>,
): { faults: Faults } | { made: Made } {
  const supplier = supplierOf(written);
  const delivery = readDelivery(written, today, (day) => dayWords(day, today));
  const places: Change[] = [];
  const lines = written.lines.map((line) => readLine(line, unit, places));
  const faults: Faults = {
    ...(supplier.wrong ? { supplier: supplier.wrong } : {}),
    delivery: delivery.wrong ?? {},
    lines: lines.map(({ wrong }) => wrong),
  };
  const fine = lines.every(({ made }) => made);
  if (supplier.wrong || !delivery.fields || !fine) return { faults };
  const id = newId();
  const count = lines.reduce((sum, { made }) => sum + (made?.count ?? 0), 0);
  const used = new Set(taken);
  const changes: Change[] = [
    ...supplier.changes,
    { verb: "add", kind: "delivery", id, fields: { ...delivery.fields, supplier: supplier.id, count } },
    ...places,
    ...lines.flatMap(({ made }) => (made ? blocks(made, id, used) : [])),
  ];
  return { made: { delivery: id, changes } };
}

function supplierOf({ supplier, supplierName }: Written): { id: Id; changes: Change[]; wrong?: string } {
  if (supplier !== NEW)
    return { id: supplier, changes: [], ...(supplier ? {} : { wrong: "Choose the supplier." }) };
  const name = supplierName.trim();
  if (name === "") return { id: "", changes: [], wrong: "Write the supplier's name." };
  const id = newId();
  return { id, changes: [{ verb: "add", kind: "supplier", id, fields: { name, contact: "", note: "" } }] };
}

interface MadeLine {
  count: number;
  fields: BlockFields;
  variety: Change[];
}

function readLine(
  line: Line,
  unit: Unit,
  places: Change[],
): { wrong: Faults["lines"][number]; made?: MadeLine } {
  const count = readCount(line.count);
  const block = readPlaced(line, unit, places);
  const fresh = line.variety === NEW;
  const wrong: Faults["lines"][number] = { ...block.wrong };
  if (typeof count === "string") wrong.count = count;
  if (fresh && line.fresh.name.trim() === "") wrong.variety = "Write a name for the variety.";
  if (typeof count === "string" || !block.fields || wrong.variety) return { wrong };
  if (!fresh) return { wrong, made: { count, fields: block.fields, variety: [] } };
  const id = newId();
  const { name, species, strain } = line.fresh;
  const fields = {
    name: name.trim(),
    species,
    strain: strain.trim(),
    temp_low_c: null,
    temp_high_c: null,
    note: "",
  };
  const variety: Change[] = [{ verb: "add", kind: "variety", id, fields }];
  return { wrong, made: { count, fields: { ...block.fields, variety: id }, variety } };
}

function blocks({ count, fields, variety }: MadeLine, delivery: Id, used: Set<string>): Change[] {
  const made: Change[] = [...variety];
  for (let n = 0; n < count; n += 1) {
    const label = freeLabel(used);
    used.add(label);
    made.push({ verb: "add", kind: "block", id: newId(), fields: { ...fields, delivery, label } });
  }
  return made;
}
