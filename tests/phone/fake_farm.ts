/** One farm on the fake server, written from the design of sync: its history, receipts, and who wins a field. */
import { type Confirmed, groupOf, type Id, type Op } from "../../static/src/records/types";

interface Stamp {
  seq: number;
  device: Id;
  at: string;
  op: Id;
}

interface ServerRow extends Confirmed {
  deletedSeq: number;
  deletedDevice: Id | null;
  stamps: Record<string, Stamp>;
}

export interface Result {
  id: Id;
  status: "applied" | "rejected" | "retry";
  seq: number | null;
  code: string | null;
  message: string | null;
  field: string | null;
  lost_fields: string[];
}

/** Who pushes, from which phone, and what time the server has. */
interface Sender {
  role: "owner" | "picker" | "viewer";
  person: Id;
  device: Id;
  now: Date;
}

type Fields = Record<string, unknown>;

export class FakeFarm {
  seq = 0;
  rows = new Map<Id, ServerRow>();
  receipts = new Map<Id, { digest: string; result: Result }>();
  /** chain[n] stands for the whole history 1..n; "" for the empty one */
  chain: string[] = [""];
  pictures = new Map<string, number>(); // bytes
  /** every operation that changed something, also in a history that was lost since */
  readonly applied: Op[] = [];

  constructor(
    readonly id: Id,
    readonly name: string,
    public epoch: Id,
  ) {}

  backup(): string {
    const { epoch, seq, rows, receipts, chain, pictures } = this;
    const lists = { rows: [...rows], receipts: [...receipts], pictures: [...pictures] };
    return JSON.stringify({ epoch, seq, chain, ...lists });
  }

  /** By command, with a new epoch; or as a bare swap of the file, with the old one. */
  restore(backup: string, epoch: Id | null): void {
    const saved = JSON.parse(backup);
    this.seq = saved.seq;
    this.rows = new Map(saved.rows);
    this.receipts = new Map(saved.receipts);
    this.chain = saved.chain ?? [""];
    this.pictures = new Map(saved.pictures);
    this.epoch = epoch ?? saved.epoch;
  }

  /** The rows in one canonical spelling, without what a phone does not keep. */
  canonical(): string {
    return canonical([...this.rows.values()]);
  }

  push(sender: Sender, epoch: Id, ops: readonly Op[], query: URLSearchParams): unknown {
    const same = epoch === this.epoch && this.#sameHistory(query);
    const answer = { epoch: this.epoch, server_time: sender.now.toISOString() };
    if (!same) return { ...answer, reset: true, results: [] };
    const results: Result[] = [];
    for (const op of ops) {
      results.push(this.#apply(sender, op));
      if (results.at(-1)?.status === "retry") break;
    }
    return { ...answer, reset: false, results, head: this.seq, chain: this.chain.at(-1) };
  }

  /** A phone that has seen what this farm has not makes it begin a new epoch, once. */
  #sameHistory(query: URLSearchParams): boolean {
    const [since, head, chain] = ["since", "seen", "chain"].map((name) => query.get(name) ?? "");
    const same = Number(since) <= this.seq && Number(head) <= this.seq;
    if (same && (!chain || this.chain[Number(head)] === chain)) return true;
    this.epoch = crypto.randomUUID();
    return false;
  }

  #apply(sender: Sender, op: Op): Result {
    // `base` counts one history and is 0 after it was lost, so it is no part of what an operation is.
    const digest = JSON.stringify([op.verb, op.kind, op.row, op.at, op.fields]);
    const receipt = this.receipts.get(op.id);
    if (receipt) return receipt.digest === digest ? receipt.result : rejected(op, "id_reused", null);
    if (op.verb !== "add" && !this.rows.has(op.row))
      return { ...rejected(op, "row_unknown", null), status: "retry" };
    const fault = this.#fault(sender, op);
    const result = fault ? rejected(op, ...fault) : this.#write(sender, op);
    this.receipts.set(op.id, { digest, result });
    return result;
  }

  #fault(sender: Sender, op: Op): [code: string, field: string | null] | null {
    const picking = ["pick", "happening", "photo"].includes(op.kind);
    if (sender.role === "viewer" || (sender.role === "picker" && !picking)) return ["not_allowed", null];
    if (op.verb === "add" && this.rows.has(op.row)) return ["row_exists", null];
    const wet = (op.fields as Fields)["wet_g"];
    if (op.kind === "pick" && wet !== undefined && !((wet as number) > 0)) return ["not_acceptable", "wet_g"];
    const row = this.rows.get(op.row);
    const unseen = row?.deleted && op.base < row.deletedSeq;
    return op.verb === "restore" && unseen ? ["deleted_since", null] : null;
  }

  #write({ person, device, now }: Sender, op: Op): Result {
    const seq = this.seq + 1;
    this.seq = seq;
    this.chain.push(linked(this.chain[seq - 1] ?? "", op.id));
    this.applied.push(op);
    const row: ServerRow = this.rows.get(op.row) ?? {
      kind: op.kind,
      id: op.row,
      seq,
      deleted: false,
      author: person,
      fields: {} as never,
      stamps: {},
      deletedSeq: 0,
      deletedDevice: null,
    };
    const lost = this.#merge(row, op, { seq, device, at: clamped(op.at, now), op: op.id });
    if (op.verb === "delete") Object.assign(row, { deleted: true, deletedSeq: seq, deletedDevice: device });
    if (op.verb === "restore") Object.assign(row, { deleted: false, deletedSeq: 0, deletedDevice: null });
    row.seq = seq;
    this.rows.set(row.id, row);
    return { id: op.id, status: "applied", seq, code: null, message: null, field: null, lost_fields: lost };
  }

  /** Fields of a group are settled as one: a later write of any of them outlives all that the operation says of it. */
  #merge(row: ServerRow, op: Op, mine: Stamp): string[] {
    const outlived = (name: string) => {
      const theirs = row.stamps[name];
      const concurrent = theirs && theirs.seq > op.base && theirs.device !== mine.device;
      return concurrent && `${theirs.at} ${theirs.op}` > `${mine.at} ${mine.op}`;
    };
    const lost = Object.keys(op.fields).filter((name) => groupOf(op.kind, name).some(outlived));
    for (const [name, value] of Object.entries(op.fields)) {
      if (lost.includes(name)) continue;
      (row.fields as unknown as Fields)[name] = value;
      row.stamps[name] = mine;
    }
    return lost;
  }

  pull(query: URLSearchParams): unknown {
    const since = Number(query.get("since"));
    const limit = Number(query.get("limit") ?? 500);
    if (query.get("epoch") !== this.epoch || !this.#sameHistory(query))
      return { epoch: this.epoch, reset: true };
    const newer = [...this.rows.values()].filter(({ seq }) => seq > since).sort((a, b) => a.seq - b.seq);
    const rows = newer.slice(0, limit).map(plain);
    const more = newer.length > limit;
    const upto = more ? (rows.at(-1)?.seq ?? since) : this.seq;
    const end = { head: this.seq, chain: this.chain.at(-1) };
    return { epoch: this.epoch, rows, upto, more, ...end, reset: false };
  }
}

/** 64 hex digits for a history that ends with `op`: no hash, but another one for every order of operations. */
function linked(before: string, op: Id): string {
  let state = 2166136261;
  for (const letter of `${before} ${op}`) state = Math.imul(state ^ letter.charCodeAt(0), 16777619);
  return (state >>> 0).toString(16).padStart(8, "0").repeat(8);
}

function clamped(at: string, now: Date): string {
  return new Date(Math.min(Date.parse(at), now.getTime())).toISOString();
}

function plain({ kind, id, seq, deleted, author, fields }: Confirmed): Confirmed {
  return { kind, id, seq, deleted, author, fields: { ...fields } };
}

function rejected(op: Op, code: string, field: string | null): Result {
  const message = `Not taken: ${code}.`;
  return { id: op.id, status: "rejected", seq: null, code, message, field, lost_fields: [] };
}

export function canonical(rows: readonly Confirmed[]): string {
  const sorted = [...rows].sort((a, b) => (a.id < b.id ? -1 : 1));
  const fields = (row: Confirmed) => Object.fromEntries(Object.entries(row.fields).sort());
  return JSON.stringify(
    sorted.map((row) => [row.kind, row.id, row.seq, row.deleted, row.author, fields(row)]),
    null,
    1,
  );
}
