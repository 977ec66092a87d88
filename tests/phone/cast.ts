/** Records the phone's tests share: one block, its picks, a photo. */
import type { Block, Id, Photo, Pick, Supplier } from "../../static/src/records/types";
import type { Change, Picture } from "../../static/src/store";
import { sha256Of } from "../../static/src/store/pictures";

export const BLOCK = "0196a000-0000-7000-8000-00000000b10c";
export const PICK = "0196a000-0000-7000-8000-000000000001";
export const PHOTO = "0196a000-0000-7000-8000-0000000000f0";

export function pickFields(more: Partial<Pick> = {}): Pick {
  return {
    block: BLOCK,
    flush: 1,
    at: "2026-05-03T07:40:00Z",
    wet_g: 340,
    typed: "340 g",
    handling: "whole",
    scale_step_g: null,
    pieces: null,
    dry_g: null,
    dry_typed: "",
    note: "",
    ...more,
  };
}

export function aPick(id: Id = PICK, more: Partial<Pick> = {}): Change {
  return { verb: "add", kind: "pick", id, fields: pickFields(more) };
}

export function aBlock(id: Id = BLOCK, more: Partial<Block> = {}): Change {
  const fields: Block = {
    label: "K7M3P",
    variety: "0196a000-0000-7000-8000-00000000a11e",
    delivery: null,
    form: "bag",
    wet_g: 3000,
    dry_basis: "none",
    dry_g: null,
    moisture_pct: null,
    moisture_low_pct: null,
    moisture_high_pct: null,
    place: null,
    note: "",
    ...more,
  };
  return { verb: "add", kind: "block", id, fields };
}

export function aSupplier(id: Id, more: Partial<Supplier> = {}): Change {
  return { verb: "add", kind: "supplier", id, fields: { name: "Weidenhof", contact: "", note: "", ...more } };
}

/** Bytes that differ with `fill`, under their true hash. */
export async function aPicture(fill: number, size = 1000): Promise<Picture> {
  const bytes = new Uint8Array(size).fill(fill).buffer;
  return { sha256: await sha256Of(bytes), bytes };
}

export function aPhoto(full: Picture, thumb: Picture, id: Id = PHOTO, more: Partial<Photo> = {}): Change {
  const fields: Photo = {
    block: BLOCK,
    flush: 1,
    pick: null,
    stage: "ready",
    taken: "2026-05-03T07:39:00Z",
    sha256: full.sha256,
    thumb_sha256: thumb.sha256,
    width: 1600,
    height: 1200,
    note: "",
    ...more,
  };
  return { verb: "add", kind: "photo", id, fields };
}

/** `count` ids that are alike but for their end. */
export function ids(count: number, from = 0): Id[] {
  return Array.from({ length: count }, (_, at) => {
    const end = (from + at).toString(16).padStart(12, "0");
    return `0196b000-0000-7000-8000-${end}`;
  });
}
