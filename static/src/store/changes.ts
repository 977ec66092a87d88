/** What a person does to the outbox: each function is the inside of one transaction. */
import type { Id, Instant, Op } from "../records/types";
import type { Change, Picture, Row } from "./api";
import type { ParkedEntry, WriteTx } from "./schema";
import { names } from "./view";

/**
 * The operations for a save, without `base`, which is read in the transaction that stores them.
 * A patch carries only what differs from the rows as shown; a patch of nothing is no operation.
 */
export function operations(
  changes: readonly Change[],
  rows: ReadonlyMap<Id, Row>,
  made: { at: Instant; newId: () => Id },
): Op[] {
  const touched = new Set<Id>();
  const ops: Op[] = [];
  for (const change of changes) {
    const { verb, kind, id } = change;
    let fields: Op["fields"] = {};
    if (change.verb === "add") fields = { ...change.fields };
    // A second change of the same row in one save cannot be compared with what is shown.
    if (change.verb === "patch")
      fields = touched.has(id) ? change.fields : differing(change.fields, rows.get(id));
    touched.add(id);
    if (verb === "patch" && Object.keys(fields).length === 0) continue;
    ops.push({ id: made.newId(), verb, kind, row: id, base: 0, at: made.at, fields });
  }
  return ops;
}

function differing(fields: object, row: Row | undefined): Op["fields"] {
  const shown = (row?.fields ?? {}) as unknown as Record<string, unknown>;
  return Object.fromEntries(Object.entries(fields).filter(([name, value]) => !row || shown[name] !== value));
}

export async function putOps(tx: WriteTx, ops: readonly Op[]): Promise<void> {
  for (const op of ops) {
    const base = await seqOf(tx, op.row);
    // The key is left out: the outbox numbers its entries in the order of making.
    await tx.objectStore("outbox").add({ op: { ...op, base }, acked: null, tries: 0 } as never);
  }
}

export async function putPictures(
  tx: WriteTx,
  pictures: readonly Picture[],
  ops: readonly Op[],
): Promise<void> {
  const thumbs = new Set(ops.map((op) => names(op)[1]));
  for (const { sha256, bytes } of pictures) {
    const thumb = thumbs.has(sha256);
    await tx.objectStore("photos").put({ sha256, bytes });
    await tx.objectStore("marks").put({ sha256, state: "waiting", thumb, tries: 0, message: "" });
  }
}

async function seqOf(tx: WriteTx, row: Id): Promise<number> {
  return (await tx.objectStore("confirmed").get(row))?.seq ?? 0;
}

/** A refused change under a new id, since the server's answer to the old one stands for ever; its place stays. */
export async function resend(
  tx: WriteTx,
  id: Id,
  made: { at: Instant; newId: () => Id; fields: Record<string, unknown> },
): Promise<void> {
  const parked = await parkedAs(tx, id);
  if (!parked) return;
  const { op, n } = parked;
  const fields = { ...op.fields, ...made.fields } as Op["fields"];
  const again: Op = { ...op, id: made.newId(), at: made.at, base: await seqOf(tx, op.row), fields };
  await tx.objectStore("parked").delete(n);
  await tx.objectStore("outbox").put({ n, op: again, acked: null, tries: 0 });
}

/** Gives a refused change up, with the pictures that only it names. */
export async function discard(tx: WriteTx, id: Id, stillNamed: ReadonlySet<string>): Promise<void> {
  const parked = await parkedAs(tx, id);
  if (!parked) return;
  await tx.objectStore("parked").delete(parked.n);
  if (parked.op.verb !== "add") return;
  for (const sha256 of names(parked.op)) {
    if (stillNamed.has(sha256)) continue;
    await tx.objectStore("photos").delete(sha256);
    await tx.objectStore("marks").delete(sha256);
  }
}

function parkedAs(tx: WriteTx, id: Id): Promise<ParkedEntry | undefined> {
  return tx.objectStore("parked").index("op").get(id);
}
