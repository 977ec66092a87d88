/** What a person does to the outbox: each function is the inside of one transaction. */
import { groupOf, type Id, type Instant, type Kind, type Op } from "../records/types";
import type { Change, Picture, Row } from "./api";
import type { ParkedEntry, WriteTx } from "./schema";
import { names } from "./view";

type Values = Readonly<Record<string, unknown>>;

/** An operation before its `base` is settled in the transaction that stores it; `seenSeq` as the form knew the row. */
export interface Draft {
  op: Op;
  seenSeq: number | null;
}

/** The operations for a save. A patch carries only what differs from what was shown; a patch of nothing is none. */
export function operations(
  changes: readonly Change[],
  rows: ReadonlyMap<Id, Row>,
  made: { at: Instant; newId: () => Id },
): Draft[] {
  // Rows as the changes before in the same save leave them.
  const left = new Map<Id, Values>();
  const drafts: Draft[] = [];
  for (const change of changes) {
    const { verb, kind, id } = change;
    const seen = change.verb === "patch" ? change.seen : undefined;
    const before = left.get(id) ?? valuesOf(seen ?? rows.get(id));
    let fields: Values = {};
    if (change.verb === "add") fields = { ...change.fields };
    if (change.verb === "patch") fields = differing(kind, valuesOf(change), before);
    left.set(id, { ...before, ...fields });
    if (verb === "patch" && Object.keys(fields).length === 0) continue;
    const op = { id: made.newId(), verb, kind, row: id, base: 0, at: made.at, fields } as Op;
    drafts.push({ op, seenSeq: seen?.seq ?? null });
  }
  return drafts;
}

function valuesOf(row: { fields: unknown } | undefined): Values {
  return (row?.fields ?? {}) as Values;
}

/** What is another than before, with all of its group. */
function differing(kind: Kind, fields: Values, before: Values): Values {
  const changed = Object.keys(fields).filter((name) => before[name] !== fields[name]);
  const all: Values = { ...before, ...fields };
  const wanted = new Set(changed.flatMap((name) => groupOf(kind, name)));
  return Object.fromEntries([...wanted].filter((name) => name in all).map((name) => [name, all[name]]));
}

export async function putOps(tx: WriteTx, drafts: readonly Draft[]): Promise<void> {
  for (const { op, seenSeq } of drafts) {
    const now = await seqOf(tx, op.row);
    // A row that was newer when it was seen is of a history that is gone: of this one nothing has been seen.
    const base = seenSeq === null ? now : seenSeq > now ? 0 : seenSeq;
    // The key is left out: the outbox numbers its entries in the order of making.
    await tx.objectStore("outbox").add({ op: { ...op, base }, acked: null, tries: 0 } as never);
  }
}

export async function putPictures(
  tx: WriteTx,
  pictures: readonly Picture[],
  drafts: readonly Draft[],
): Promise<void> {
  const thumbs = new Set(drafts.map(({ op }) => names(op)[1]));
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
