/** The server's answers, checked before they are believed. A wrong one counts as "server is ill", never as an acknowledgement. */
import type { Confirmed, Id, Op, Role } from "../records/types";
import type { Late, Result, Witness } from "../store";
import { isCount, isText, isTextOrNull, isThing, type Thing } from "../store/shapes";
import type { SignedIn } from "./api";
import { Trouble } from "./http";

export interface Session {
  server: { first_run: boolean; demo: boolean; version: string };
  /** null when nobody is signed in */
  inside: { who: SignedIn; epoch: string; serverTime: Date } | null;
}

export type Pushed =
  | { reset: true; epoch: string; serverTime: Date }
  | { reset: false; epoch: string; serverTime: Date; results: Result[]; witness: Witness | undefined };

export type Pulled =
  | { reset: true; epoch: string }
  | {
      reset: false;
      epoch: string;
      rows: Confirmed[];
      upto: number;
      more: boolean;
      witness: Witness | undefined;
      outvoted: Late[];
    };

function odd(what: string): Trouble {
  return new Trouble(
    "server is ill",
    `The server's answer makes no sense (${what}). Your records are kept on this phone.`,
  );
}

function thing(value: unknown, what: string): Thing {
  if (!isThing(value)) throw odd(what);
  return value;
}

function time(value: unknown): Date {
  const made = new Date(isText(value) ? value : Number.NaN);
  if (Number.isNaN(made.getTime())) throw odd("server_time");
  return made;
}

function epochOf(body: Thing): string {
  const { epoch } = body;
  if (!isText(epoch) || epoch === "") throw odd("epoch");
  return epoch;
}

export function readSession(value: unknown): Session {
  const body = thing(value, "session");
  const { signed_in, first_run, demo, version } = body;
  if (typeof signed_in !== "boolean") throw odd("signed_in");
  const server = {
    first_run: first_run === true,
    demo: demo === true,
    version: isText(version) ? version : "",
  };
  if (!signed_in) return { server, inside: null };
  const who = readWho(body);
  if (!who) throw odd("person, farm");
  return { server, inside: { who, epoch: epochOf(body), serverTime: time(body["server_time"]) } };
}

const ROLES: readonly unknown[] = ["owner", "picker", "viewer"];

/** Also reads what the phone remembers of its person. */
export function readWho(value: unknown): SignedIn | null {
  if (!isThing(value) || !isThing(value["person"]) || !isThing(value["farm"])) return null;
  const { person, farm } = value;
  if (!isText(person["id"]) || !isText(farm["id"]) || !ROLES.includes(farm["role"])) return null;
  const text = (part: unknown) => (isText(part) ? part : "");
  return {
    person: { id: person["id"], name: text(person["name"]), email: text(person["email"]) },
    farm: {
      id: farm["id"],
      name: text(farm["name"]),
      role: farm["role"] as Role,
      currency: text(farm["currency"]),
      is_demo: farm["is_demo"] === true,
    },
  };
}

/** Only a prefix of what was sent, in its order and under the epoch it was sent with, is an acknowledgement. */
export function readPushed(value: unknown, sent: readonly Op[], epoch: string): Pushed {
  const body = thing(value, "push");
  const serverTime = time(body["server_time"]);
  if (body["reset"] === true) return { reset: true, epoch: epochOf(body), serverTime };
  const { results } = body;
  if (body["epoch"] !== epoch) throw odd("epoch");
  if (!Array.isArray(results) || results.length === 0 || results.length > sent.length) throw odd("results");
  return {
    reset: false,
    epoch,
    serverTime,
    results: results.map((result, at) => readResult(result, sent[at])),
    witness: readWitness(body),
  };
}

function readResult(value: unknown, op: Op | undefined): Result {
  const {
    id,
    status,
    seq = null,
    code = null,
    message = null,
    field = null,
    lost_fields: lost = [],
  } = thing(value, "result");
  const known = status === "applied" || status === "rejected" || status === "retry";
  if (!known || !isText(id) || id !== op?.id) throw odd("results");
  if (
    !(seq === null || isCount(seq)) ||
    !isTextOrNull(code) ||
    !isTextOrNull(message) ||
    !isTextOrNull(field) ||
    !(Array.isArray(lost) && lost.every(isText))
  ) {
    throw odd("results");
  }
  return { id, status, seq, code, message, field, lost };
}

export function readPulled(value: unknown, epoch: string, since: number): Pulled {
  const body = thing(value, "pull");
  if (body["reset"] === true) return { reset: true, epoch: epochOf(body) };
  const { rows, upto, more } = body;
  if (body["epoch"] !== epoch) throw odd("epoch");
  if (!Array.isArray(rows) || !isCount(upto) || typeof more !== "boolean") throw odd("rows");
  // A cursor that falls would read for ever what it has; one that stands still with more to come would never end.
  if (upto < since || (more && upto === since)) throw odd("upto");
  const outvoted = Array.isArray(body["outvoted"]) ? body["outvoted"].map(readLate) : [];
  return { reset: false, epoch, rows: rows.map(readRow), upto, more, witness: readWitness(body), outvoted };
}

function readLate(value: unknown): Late {
  const { kind, row, seq, at, fields } = thing(value, "outvoted");
  const whole = isText(kind) && isText(row) && isCount(seq) && isText(at) && isThing(fields);
  if (!whole) throw odd("outvoted");
  return { kind, row, seq, at, fields } as Late;
}

/** A server from before there were chains says none, and nothing can be proved to it. */
function readWitness({ head, chain }: Thing): Witness | undefined {
  return isCount(head) && isText(chain) && /^[0-9a-f]{64}$/.test(chain) ? { head, chain } : undefined;
}

/** Rows of a kind this release does not know are kept for the one that will. */
function readRow(value: unknown): Confirmed {
  const { kind, id, seq, deleted, author = null, fields } = thing(value, "row");
  const whole =
    isText(kind) && isText(id) && isCount(seq) && typeof deleted === "boolean" && isTextOrNull(author);
  if (!whole || !isThing(fields)) throw odd("row");
  return { kind, id, seq, deleted, author, fields } as unknown as Confirmed;
}

/** The server names the picture it took: a portal's friendly 200 does not. */
export function namesPicture(value: unknown, sha256: string): boolean {
  return isThing(value) && value["sha256"] === sha256;
}

/** As for a picture: only an answer with the errand's own id says that it was run. */
export function namesErrand(value: unknown, id: Id): boolean {
  return isThing(value) && value["id"] === id;
}
