/** Unsent and refused changes with their pictures as one JSON file, and back. */
import type { Id, Instant, Op } from "../records/types";
import { type Parked, Refused } from "./api";
import { type Database, survey } from "./database";
import { sha256Of } from "./pictures";
import type { Mark, WriteTx } from "./schema";
import { isText, isTextOrNull, isThing, readOp, type Thing } from "./shapes";

const WHAT = "harvestlog unsent records";
const VERSION = 1;

export interface Owner {
  farm: Id;
  person: Id;
}

interface Unsent {
  epoch: string;
  changes: Op[];
  refused: Parked[];
  pictures: { mark: Mark; bytes: ArrayBuffer }[];
}

export async function writeUnsent(db: Database, owner: Owner, made: Instant): Promise<Blob> {
  const { entries, parked, progress, marks } = await db.read(survey);
  const head = {
    what: WHAT,
    version: VERSION,
    ...owner,
    made,
    epoch: progress.epoch,
    changes: entries.map(({ op }) => op),
    refused: parked.map(({ n: _, ...refused }) => refused),
  };
  // One picture at a time: all of them as text at once would not fit a small phone's memory.
  const parts: (string | Blob)[] = [JSON.stringify(head).slice(0, -1), ',"pictures":['];
  let comma = "";
  for (const { sha256, thumb } of marks) {
    const kept = await db.read(async (tx) => await tx.objectStore("photos").get(sha256));
    if (!kept) continue;
    const picture = { sha256, thumb, base64: base64(new Uint8Array(kept.bytes)) };
    parts.push(new Blob([comma, JSON.stringify(picture)]));
    comma = ",";
  }
  return new Blob([...parts, "]}"], { type: "application/json" });
}

/** Throws `Refused` when the file is no such file, damaged, or another person's. */
export async function readUnsent(file: Blob, owner: Owner): Promise<Unsent> {
  const saved = parse(await file.text());
  if (saved?.["what"] !== WHAT || saved["version"] !== VERSION) {
    throw new Refused(
      "not_ours",
      "This is no file of unsent records. Choose one that was made under Farm, Unsent records.",
    );
  }
  if (saved["farm"] !== owner.farm || saved["person"] !== owner.person) {
    throw new Refused(
      "not_yours",
      "These unsent records were made by another person or for another farm. Sign in as that person to take them in.",
    );
  }
  const epoch = isText(saved["epoch"]) ? saved["epoch"] : "";
  return {
    epoch,
    changes: list(saved["changes"], readOp),
    refused: list(saved["refused"], readParked),
    pictures: await Promise.all(
      list(saved["pictures"], (value) => (isThing(value) ? value : undefined)).map(readPicture),
    ),
  };
}

/** Returns how many changes were new here. What is in the outbox, refused, or sent already is left as it is. */
export async function putUnsent(tx: WriteTx, unsent: Unsent, epoch: string): Promise<number> {
  let taken = 0;
  for (const { mark, bytes } of unsent.pictures) {
    // The mark alone may be there: then the browser has thrown the bytes away.
    if ((await tx.objectStore("photos").count(mark.sha256)) > 0) continue;
    await tx.objectStore("photos").put({ sha256: mark.sha256, bytes });
    await tx.objectStore("marks").put(mark);
  }
  for (const change of unsent.changes) {
    if (await isHere(tx, change.id)) continue;
    await addEntry(tx, unsent.epoch === epoch ? change : { ...change, base: 0 });
    taken++;
  }
  for (const refused of unsent.refused) {
    if (await isHere(tx, refused.op.id)) continue;
    // A place of its own in the order: the outbox hands the numbers out.
    const n = await addEntry(tx, refused.op);
    await tx.objectStore("outbox").delete(n);
    await tx.objectStore("parked").put({ ...refused, n });
    taken++;
  }
  return taken;
}

async function isHere(tx: WriteTx, op: Id): Promise<boolean> {
  for (const store of ["outbox", "parked", "sent"] as const) {
    if ((await tx.objectStore(store).index("op").count(op)) > 0) return true;
  }
  return false;
}

async function addEntry(tx: WriteTx, op: Op): Promise<number> {
  return await tx.objectStore("outbox").add({ op, acked: null, tries: 0 } as never);
}

function parse(text: string): Thing | undefined {
  try {
    const value: unknown = JSON.parse(text);
    return isThing(value) ? value : undefined;
  } catch {
    return undefined;
  }
}

function damaged(): Refused {
  return new Refused(
    "damaged",
    "This file of unsent records is damaged, so nothing was taken in. Copy it again from where it was made.",
  );
}

/** One bad item spoils the file: taking in a part would look like the whole. */
function list<T>(value: unknown, read: (item: unknown) => T | undefined): T[] {
  if (!Array.isArray(value)) throw damaged();
  return value.map((item) => {
    const good = read(item);
    if (good === undefined) throw damaged();
    return good;
  });
}

function readParked(value: unknown): Parked | undefined {
  if (!isThing(value)) return undefined;
  const { code, message, field, since } = value;
  const op = readOp(value["op"]);
  const whole = op && isText(code) && isText(message) && isTextOrNull(field) && isText(since);
  return whole ? { op, code, message, field, since } : undefined;
}

async function readPicture({
  sha256,
  thumb,
  base64: text,
}: Thing): Promise<{ mark: Mark; bytes: ArrayBuffer }> {
  if (!isText(sha256) || !isText(text)) throw damaged();
  let bytes: ArrayBuffer;
  try {
    bytes = Uint8Array.from(atob(text), (char) => char.charCodeAt(0)).buffer;
  } catch {
    throw damaged();
  }
  if ((await sha256Of(bytes)) !== sha256) throw damaged();
  return { mark: { sha256, state: "waiting", thumb: thumb === true, tries: 0, message: "" }, bytes };
}

function base64(bytes: Uint8Array): string {
  let text = "";
  // In pieces: a call takes only so many arguments.
  for (let at = 0; at < bytes.length; at += 8192)
    text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(text);
}
