/** A block as it is written down, with the place that is named along with it. */
import { type BlockDraft, type BlockFields, type Read, readBlock } from "../../records/block_draft";
import type { Unit } from "../../records/masses";
import type { Change } from "../../store";
import { placeOf } from "../parts/place_field";

/** `made` takes the record of a new place. */
export function readPlaced(
  draft: BlockDraft,
  unit: Unit,
  made: Change[],
): Read<BlockFields, keyof BlockDraft> {
  const read = readBlock(draft, unit);
  const place = placeOf(draft, made);
  if (place.wrong !== undefined) return { wrong: { ...read.wrong, place: place.wrong } };
  return read.fields ? { fields: { ...read.fields, place: place.id } } : read;
}
