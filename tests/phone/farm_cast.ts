/** A small farm for the screens' arithmetic: rows as the store shows them, joined. */
import { type BlockView, farmView, type Standing } from "../../static/src/records/farm_view";
import type { Block, FieldsOf, Happening, Id, Kind, Photo, Pick } from "../../static/src/records/types";
import { pickFields } from "./cast";

export const SUPPLIER = "s";
export const VARIETY = "v";
export const CELLAR = "p1";
export const SHED = "p2";
export const DELIVERY = "d";
export const BLOCK_ID = "b";

export function row<K extends Kind>(kind: K, id: Id, fields: FieldsOf[K], deleted = false): Standing<K> {
  return { kind, id, seq: 1, deleted, author: null, fields, where: "sent" };
}

export function block(more: Partial<Block> = {}): Standing<"block"> {
  const known = { label: "K7M3P", variety: VARIETY, delivery: DELIVERY, form: "bag", wet_g: 3000 } as const;
  const basis = { dry_basis: "none", dry_g: null, moisture_pct: null } as const;
  const range = { moisture_low_pct: null, moisture_high_pct: null };
  return row("block", BLOCK_ID, { ...known, ...basis, ...range, place: CELLAR, note: "", ...more });
}

export function pick(id: Id, at: string, more: Partial<Pick> = {}): Standing<"pick"> {
  return row("pick", id, pickFields({ block: BLOCK_ID, at, ...more }));
}

export function happening(id: Id, what: Happening["what"], at: string, more: Partial<Happening> = {}) {
  const masses = { mass_before_g: null, mass_after_g: null };
  const fields = { block: BLOCK_ID, what, at, until: null, ...masses, place: null, note: "" };
  return row("happening", id, { ...fields, contamination: "", ...more });
}

export function photo(id: Id, stage: Photo["stage"], taken: string, more: Partial<Photo> = {}) {
  const file = { sha256: "f".repeat(64), thumb_sha256: "e".repeat(64), width: 1600, height: 1200 };
  return row("photo", id, {
    block: BLOCK_ID,
    flush: null,
    pick: null,
    stage,
    taken,
    ...file,
    note: "",
    ...more,
  });
}

export const AROUND: Standing[] = [
  row("supplier", SUPPLIER, { name: "Hollow Oak", contact: "", note: "" }),
  row("variety", VARIETY, {
    name: "Grey oyster",
    species: "",
    strain: "",
    temp_low_c: null,
    temp_high_c: null,
    note: "",
  }),
  row("place", CELLAR, { name: "Cellar", note: "" }),
  row("place", SHED, { name: "Shed", note: "" }),
  row("delivery", DELIVERY, {
    supplier: SUPPLIER,
    lot: "H-1",
    received: "2026-04-01",
    price: null,
    currency: "",
    stored_c: null,
    count: 1,
    note: "",
  }),
];

export function farmOf(...rows: Standing[]) {
  return farmView([...AROUND, ...rows]);
}

/** The one block, with what was noted of it. */
export function viewOf(...rows: Standing[]): BlockView {
  const view = farmOf(...(rows.some(({ kind }) => kind === "block") ? rows : [block(), ...rows])).block.get(
    BLOCK_ID,
  );
  if (!view) throw new Error("the cast has no block");
  return view;
}
