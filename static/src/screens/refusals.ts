/** What can be done about a change or a picture that the server would not take. */
import { type FarmView, farmView, type Standing } from "../records/farm_view";
import type { Id } from "../records/types";
import type { Parked } from "../store/api";
import { farm, store } from "./here";

/** The record as the refused change would have left it, among the farm's others. */
export function asWritten(id: Id): { row: Standing; farm: FarmView } | null {
  const parked = store()
    .parked.peek()
    .find(({ op }) => op.id === id);
  if (!parked) return null;
  const { op, message } = parked;
  const rows = store().rows.peek();
  const known = rows.get(op.row) ?? { seq: 0, deleted: false, author: null };
  const fields = { ...rows.get(op.row)?.fields, ...op.fields };
  const refused = { op: id, message };
  const row = { ...known, kind: op.kind, id: op.row, fields, where: "needs attention", refused } as Standing;
  return { row, farm: farmView(new Map<Id, Standing>(rows).set(op.row, row).values()) };
}

/** Whether a form can put it right: its figures were refused, and there is a record to show. */
export function correctable({ op, code }: Parked): boolean {
  if (code !== "not_acceptable" && code !== "invalid") return false;
  const rows = store().rows.value;
  if (op.kind === "photo" || (op.verb !== "add" && op.verb !== "patch")) return false;
  if (op.verb === "patch" && rows.get(op.row)?.deleted !== false) return false;
  const { block } = { ...rows.get(op.row)?.fields, ...op.fields } as { block?: Id };
  return op.kind !== "pick" || rows.get(block ?? "")?.deleted === false;
}

/** Photos with a picture that the server would not take, each with its words. */
export function refusedPhotos(): [photo: Standing<"photo">, words: string][] {
  const refused = store().refusedPictures.value;
  if (refused.size === 0) return [];
  return [...farm.value.photo.values()].flatMap((photo) => {
    const words = refused.get(photo.fields.sha256) ?? refused.get(photo.fields.thumb_sha256);
    return words === undefined ? [] : [[photo, words] as [Standing<"photo">, string]];
  });
}
