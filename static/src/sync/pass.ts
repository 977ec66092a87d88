/** One pass: push everything, pull to the head, send pictures, run errands. Throws `Trouble`; whatever was done until then stays done. */
import type { Id, Op } from "../records/types";
import type { Entry, Errand, Farm } from "../store";
import { namesErrand, namesPicture, readPulled, readPushed } from "./answers";
import { type Answer, codeOf, type Http, messageOf, refusalOf, Trouble, troubleOf } from "./http";
import type { Line } from "./line";

export interface Pass {
  farm: Farm;
  http: Http;
  line: Line;
  device: Id;
  appVersion: string;
  tell(now: "sending" | "fetching"): void;
  hearTime(serverTime: Date): void;
}

const MOST_OPS = 100;
const MOST_RESETS = 3;

/** The farm's `epoch` is what the session said it is. */
export async function runPass(pass: Pass, epoch: string): Promise<void> {
  const { farm } = pass;
  await farm.refresh();
  if (farm.progress.epoch !== epoch) await farm.reset(epoch);
  for (let resets = 0; resets <= MOST_RESETS; resets++) {
    pass.tell("sending");
    if (!(await push(pass))) continue;
    pass.tell("fetching");
    if (!(await pull(pass))) continue;
    pass.tell("sending");
    await sendPictures(pass);
    return await runErrands(pass);
  }
  throw new Trouble(
    "server is ill",
    "The server begins its history again and again. Your records are kept on this phone.",
  );
}

/** Returns false when the server's history is another one: everything starts again. */
async function push(pass: Pass): Promise<boolean> {
  const { farm } = pass;
  const held = new Set<Id>();
  let most = MOST_OPS;
  for (;;) {
    const batch = nextBatch(farm.unsent, held, most, pass.line.bytes);
    const first = batch[0];
    if (!first) return true;
    const ops = batch.map(({ op }) => op);
    const wanted = { epoch: farm.progress.epoch, device: pass.device, app_version: pass.appVersion, ops };
    const answer = await overLine(pass.http.call("POST", `/api/sync/push?${proof(farm)}`, wanted), () =>
      pass.line.pushFailed(),
    );
    if (answer.status === 200) {
      const end = await takeAnswer(pass, ops, answer.body, held);
      if (end !== "next") return end === "done";
    } else if (!UNREADABLE.includes(answer.status)) {
      throw troubleOf(answer);
    } else if (batch.length > 1) {
      most = Math.ceil(batch.length / 2);
    } else {
      // One change that this server cannot read must not hold up all that come after it.
      await farm.park(first, codeOf(answer.body) || "invalid", messageOf(answer.body, SET_ASIDE));
      most = MOST_OPS;
    }
  }
}

/** What this phone has seen of the farm's history: on another one than that the server takes and gives nothing. */
function proof(farm: Farm): string {
  const { head, chain } = farm.progress.witness ?? { head: 0, chain: "" };
  return `seen=${head}&chain=${chain}`;
}

/** Said of the request itself, so that sending the same again is in vain. A 400 is none: it is a line that broke. */
const UNREADABLE: readonly number[] = [413, 422];
const SET_ASIDE =
  "The server could not read this change. Look at it and send it again, or bring the server up to date.";

/** The server answered the call before this one: no answer now says that this was too much for the line. */
async function overLine(call: Promise<Answer>, tooMuch: () => void): Promise<Answer> {
  try {
    return await call;
  } catch (error) {
    if (error instanceof Trouble && error.kind === "no server") tooMuch();
    throw error;
  }
}

async function takeAnswer(
  pass: Pass,
  ops: readonly Op[],
  body: unknown,
  held: Set<Id>,
): Promise<"next" | "done" | "reset"> {
  const { farm } = pass;
  const { epoch } = farm.progress;
  const pushed = readPushed(body, ops, epoch);
  pass.hearTime(pushed.serverTime);
  if (pushed.reset) {
    await farm.reset(pushed.epoch);
    return "reset";
  }
  await farm.acknowledge(epoch, pushed.results, pushed.witness);
  const last = pushed.results.at(-1);
  const row = ops[pushed.results.length - 1]?.row;
  if (last?.status !== "retry" || row === undefined) return "next";
  if (last.code !== "row_unknown") return "done"; // busy: the next pass goes on from here
  held.add(row);
  return "next";
}

/** The next changes in the order they were made, without those that wait for a row the server does not have. */
function nextBatch(
  unsent: readonly Entry[],
  held: ReadonlySet<Id>,
  most: number,
  mostBytes: number,
): Entry[] {
  const text = new TextEncoder();
  const batch: Entry[] = [];
  let bytes = 0;
  for (const entry of unsent) {
    if (held.has(entry.op.row) && entry.op.verb !== "add") continue;
    bytes += text.encode(JSON.stringify(entry.op)).length + 1;
    if (batch.length >= most || (bytes > mostBytes && batch.length > 0)) break;
    batch.push(entry);
  }
  return batch;
}

/** Returns false when the server's history is another one. */
async function pull(pass: Pass): Promise<boolean> {
  const { farm } = pass;
  for (;;) {
    const { epoch, cursor } = farm.progress;
    const path = `/api/sync/pull?epoch=${epoch}&since=${cursor}&limit=${pass.line.rows}&${proof(farm)}`;
    const answer = await overLine(pass.http.call("GET", path), () => pass.line.pullFailed());
    if (answer.status !== 200) throw troubleOf(answer);
    const page = readPulled(answer.body, epoch, cursor);
    if (page.reset) {
      await farm.reset(page.epoch);
      return false;
    }
    await farm.takePage({ ...page, since: cursor });
    if (!page.more) return true;
  }
}

/** One at a time, thumbnails first, so that a weak line shows something of every picture soon. */
async function sendPictures({ farm, http }: Pass): Promise<void> {
  for (const sha256 of farm.picturesToSend()) {
    const bytes = await farm.pictureBytes(sha256);
    if (!bytes) continue;
    try {
      await sendPicture(farm, sha256, await http.call("PUT", `/api/photos/${sha256}`, bytes));
    } catch (error) {
      // A picture that the server fails on three times is set aside, so that the others get through.
      if (error instanceof Trouble && error.kind === "server is ill" && !error.passing)
        await farm.pictureFailed(sha256, error.message, false);
      throw error;
    }
  }
}

async function sendPicture(farm: Farm, sha256: string, answer: Answer): Promise<void> {
  const { status, body } = answer;
  if (status === 200 || status === 201) {
    if (!namesPicture(body, sha256))
      throw new Trouble("server is ill", "The server did not say that it has the picture.");
    return await farm.pictureTaken(sha256);
  }
  // The record is not there any more: it was lost with a history, and comes back with the next pass.
  if (status === 404) return;
  if (![413, 415, 422].includes(status)) throw troubleOf(answer);
  // Bytes that were damaged on the way are worth another try.
  const never = codeOf(body) !== "hash_differs";
  await farm.pictureFailed(sha256, messageOf(body, "The server refused this picture."), never);
}

/** Last, for they speak of records and pictures: while some are held up, what is asked of them waits too. */
async function runErrands({ farm, http }: Pass): Promise<void> {
  if (farm.unsent.length > 0) return;
  let trouble: Trouble | null = null;
  for (const errand of farm.errands.peek()) {
    if (errand.said !== undefined) continue;
    try {
      await runErrand(farm, errand, await http.call("POST", errand.path, errand.body));
    } catch (error) {
      // One that the server fails on must not hold up the others.
      if (!(error instanceof Trouble) || error.kind !== "server is ill") throw error;
      trouble ??= error;
    }
  }
  if (trouble) throw trouble;
}

/** Answers that speak of the request itself: the same one again would be refused again. */
const REFUSING: readonly number[] = [403, 404, 409, 413, 422];

async function runErrand(farm: Farm, errand: Errand, answer: Answer): Promise<void> {
  const { status, body } = answer;
  if (REFUSING.includes(status) && codeOf(body) !== "csrf")
    return await farm.errandRefused(errand, refusalOf(answer).message);
  if (status !== 200 && status !== 201) throw troubleOf(answer);
  if (!namesErrand(body, errand.id))
    throw new Trouble("server is ill", "The server did not say that it has done what was asked.");
  await farm.dropErrand(errand.id);
}
