/** What the server's answers do to the phone: each function is the inside of one transaction. */
import type { Confirmed, Id, Instant, Kind, Op } from "../records/types";
import { type Entry, NO_PROGRESS, type Progress, type Witness, type WriteTx } from "./schema";
import { type Arrived, NOTHING_ARRIVED } from "./view";

/** The server's word on one operation. */
export interface Result {
  id: Id;
  status: "applied" | "rejected" | "retry";
  seq: number | null;
  code: string | null;
  message: string | null;
  field: string | null;
  /** fields of which another phone's later value stands */
  lost: readonly string[];
}

/** One page of the farm's rows, asked for with `epoch` and `since`. */
export interface Page {
  epoch: string;
  since: number;
  rows: readonly Confirmed[];
  upto: number;
  more: boolean;
  /** absent where the server says nothing of it */
  witness?: Witness | undefined;
  outvoted?: readonly Late[];
}

/** What this phone wrote and was told to stand, until somebody who had not seen it took its place with the change `seq`. */
export interface Late {
  kind: Kind;
  row: Id;
  seq: number;
  at: Instant;
  fields: Readonly<Record<string, unknown>>;
}

const SHELF_MS = 30 * 24 * 3600 * 1000;
const MOST_TRIES = 3;
const ROW_UNKNOWN = {
  code: "row_unknown",
  message: "This changes a record that is not on the server. It is sent again when that record gets there.",
  field: null,
};

/** Answers given under another epoch are dropped: they speak of a history that is gone. */
export async function acknowledge(
  tx: WriteTx,
  epoch: string,
  results: readonly Result[],
  now: Instant,
  witness?: Witness,
): Promise<void> {
  const progress = await progressOf(tx);
  if (progress.epoch !== epoch) return;
  if (witness) await tx.objectStore("meta").put({ ...progress, witness }, "progress");
  const outbox = tx.objectStore("outbox");
  for (const result of results) {
    const entry = await outbox.index("op").get(result.id);
    if (!entry) continue;
    if (result.status === "applied") await settle(tx, entry, result);
    if (result.status === "rejected") await park(tx, entry, refusal(result), now);
    if (result.status === "retry" && result.code === "row_unknown") await notYet(tx, entry.op.row, now);
  }
}

/** An answer that is heard again must not bring back what the person has seen and put away. */
async function settle(tx: WriteTx, entry: Entry, { seq, lost }: Result): Promise<void> {
  // An answer without a number changed nothing: any checkpoint covers it.
  await tx.objectStore("outbox").put({ ...entry, acked: seq ?? 0, lost });
  if (entry.acked !== null) return;
  const { row, kind, at, fields: written } = entry.op;
  const outvoted = tx.objectStore("outvoted");
  const before = await outvoted.get(row);
  // What this person wrote again stands, or has lost again: either way the earlier loss is nothing to tell any more.
  const fields = [...new Set([...(before?.fields.filter((name) => !(name in written)) ?? []), ...lost])];
  if (fields.length === 0) return await (before && outvoted.delete(row));
  const mine = { ...before?.mine, ...Object.fromEntries(lost.map((name) => [name, written[name as never]])) };
  const last = lost.length > 0 || !before ? { at, seq: seq ?? 0 } : { at: before.at, seq: before.seq ?? 0 };
  await outvoted.put({ row, kind, fields, mine, ...last });
}

async function hearLate(tx: WriteTx, { row, kind, at, seq, fields: lost }: Late): Promise<void> {
  const outvoted = tx.objectStore("outvoted");
  const before = await outvoted.get(row);
  const fields = [...new Set([...(before?.fields ?? []), ...Object.keys(lost)])];
  await outvoted.put({ row, kind, fields, mine: { ...before?.mine, ...lost }, at, seq });
}

function refusal({ code, message, field }: Result) {
  return {
    code: code ?? "rejected",
    message: message ?? "The server refused this change. Look at it and send it again.",
    field,
  };
}

/** Counts a pass in vain for every change that waits for this row; an add waits for nothing. */
async function notYet(tx: WriteTx, row: Id, now: Instant): Promise<void> {
  for (const entry of await tx.objectStore("outbox").getAll()) {
    if (entry.op.row !== row || entry.acked !== null || entry.op.verb === "add") continue;
    const tries = entry.tries + 1;
    if (tries >= MOST_TRIES) await park(tx, entry, ROW_UNKNOWN, now);
    else await tx.objectStore("outbox").put({ ...entry, tries });
  }
}

export async function park(
  tx: WriteTx,
  { n, op }: Entry,
  why: { code: string; message: string; field: string | null },
  since: Instant,
): Promise<void> {
  await tx.objectStore("parked").put({ n, op, ...why, since });
  await tx.objectStore("outbox").delete(n);
}

/** Rows and cursor together; the checkpoint moves, and the outbox is emptied up to it, only on the last page. */
export async function takePage(tx: WriteTx, page: Page, now: Date, aheadMs: number | null): Promise<Arrived> {
  const progress = await progressOf(tx);
  // Another tab was faster, or the history changed under this page: it is asked for again.
  if (progress.epoch !== page.epoch || progress.cursor !== page.since) return NOTHING_ARRIVED;
  await Promise.all(page.rows.map(async (row) => await tx.objectStore("confirmed").put(row)));
  await welcome(tx, new Set(page.rows.map(({ id }) => id)));
  // Who reads from the start was told before the history began again.
  if (progress.checkpoint > 0) for (const late of page.outvoted ?? []) await hearLate(tx, late);
  const next: Progress = { ...progress, cursor: page.upto, aheadMs };
  if (page.witness) next.witness = page.witness;
  let gone: Id[] = [];
  if (!page.more) {
    next.checkpoint = page.upto;
    next.lastDone = now.toISOString();
    await shelve(tx, page.upto, now.getTime());
    await dropSentPictures(tx);
    gone = await dropGhosts(tx, next);
  }
  await tx.objectStore("meta").put(next, "progress");
  return { rows: page.rows, gone, all: false };
}

/** A change that was set aside because its row was unknown goes back in its place when the row arrives. */
async function welcome(tx: WriteTx, rows: ReadonlySet<Id>): Promise<void> {
  for (const { n, op, code } of await tx.objectStore("parked").getAll()) {
    if (code !== ROW_UNKNOWN.code || !rows.has(op.row)) continue;
    await tx.objectStore("parked").delete(n);
    await tx.objectStore("outbox").put({ n, op, acked: null, tries: 0 });
  }
}

/** Never by a page's cursor: a row may move to a later page while paging, and its change would be nowhere. */
async function shelve(tx: WriteTx, checkpoint: number, now: number): Promise<void> {
  const sent = tx.objectStore("sent");
  const old = await sent.index("until").getAllKeys(IDBKeyRange.upperBound(now));
  for (const n of old) await sent.delete(n);
  for (const { n, op, acked } of await tx.objectStore("outbox").getAll()) {
    if (acked === null || acked > checkpoint) continue;
    await sent.put({ n, op, until: now + SHELF_MS });
    await tx.objectStore("outbox").delete(n);
  }
}

async function dropSentPictures(tx: WriteTx): Promise<void> {
  for (const sha256 of await tx.objectStore("marks").index("state").getAllKeys("sent")) {
    await tx.objectStore("photos").delete(sha256);
    await tx.objectStore("marks").delete(sha256);
  }
}

/** Rows that only the lost history had are let go once no unsent change wants them. */
async function dropGhosts(tx: WriteTx, progress: Progress): Promise<Id[]> {
  if (progress.ghosts.length === 0) return [];
  const wanted = new Set((await tx.objectStore("outbox").getAll()).map(({ op }) => op.row));
  const gone: Id[] = [];
  for (const id of progress.ghosts) {
    const row = await tx.objectStore("confirmed").get(id);
    if (row?.seq !== 0 || wanted.has(id)) continue;
    await tx.objectStore("confirmed").delete(id);
    gone.push(id);
  }
  progress.ghosts = progress.ghosts.filter((id) => wanted.has(id));
  return gone;
}

/**
 * The server has another history than this phone read (it was restored from an older copy). What the phone read
 * is forgotten; what it sent within the shelf's time goes back in front of the outbox, to be sent again under the
 * same ids. A `base` counted the old history, so it starts at 0 everywhere.
 */
export async function reset(tx: WriteTx, epoch: string): Promise<Arrived> {
  const outbox = tx.objectStore("outbox");
  const shelf = await tx.objectStore("sent").getAll();
  const entries = [...shelf, ...(await outbox.getAll())];
  for (const { n, op } of entries) await outbox.put({ n, op: { ...op, base: 0 }, acked: null, tries: 0 });
  await tx.objectStore("sent").clear();
  const ghosts = await ghostsOf(
    tx,
    entries.map(({ op }) => op),
  );
  await tx.objectStore("confirmed").clear();
  for (const row of ghosts) await tx.objectStore("confirmed").put(row);
  await sendPicturesAgain(tx);
  const { witness: _, ...progress } = await progressOf(tx);
  const next: Progress = { ...progress, epoch, cursor: 0, checkpoint: 0, ghosts: ghosts.map(({ id }) => id) };
  await tx.objectStore("meta").put(next, "progress");
  return { rows: ghosts, gone: [], all: true };
}

/** Rows of others that unsent changes stand on stay in sight, until it is known whether the server has them. */
async function ghostsOf(tx: WriteTx, ops: readonly Op[]): Promise<Confirmed[]> {
  const added = new Set(ops.filter(({ verb }) => verb === "add").map(({ row }) => row));
  const wanted = new Set(ops.map(({ row }) => row).filter((row) => !added.has(row)));
  const rows = await Promise.all([...wanted].map((id) => tx.objectStore("confirmed").get(id)));
  return rows.filter((row) => row !== undefined).map((row) => ({ ...row, seq: 0 }));
}

async function sendPicturesAgain(tx: WriteTx): Promise<void> {
  for (const mark of await tx.objectStore("marks").getAll()) {
    if (mark.state === "fetched") continue;
    await tx.objectStore("marks").put({ ...mark, state: "waiting", tries: 0, message: "" });
  }
}

export async function progressOf(tx: WriteTx): Promise<Progress> {
  return (await tx.objectStore("meta").get("progress")) ?? NO_PROGRESS;
}
