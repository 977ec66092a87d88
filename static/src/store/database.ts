/** One farm's database: whole transactions, opened again when the browser drops the connection. */
import type { Id } from "../records/types";
import { type Errand, type Heard, NotSaved, type Outvoted } from "./api";
import {
  type Entry,
  FARM_STORES,
  type FarmBase,
  type FarmStores,
  type Mark,
  NO_PROGRESS,
  openFarmBase,
  type ParkedEntry,
  type Progress,
  type ReadTx,
  type WriteTx,
} from "./schema";
import type { Arrived } from "./view";

/** The small stores as one transaction saw them; the view is rebuilt from these. */
export interface Survey {
  entries: Entry[];
  parked: ParkedEntry[];
  progress: Progress;
  /** pictures waiting or refused */
  marks: Mark[];
  outvoted: Outvoted[];
  errands: Errand[];
}

/** Stores of which no view is made: what lies there is read by its key. */
type Slips = "drafts" | "answers";

/** What another page of this phone is told: the confirmed rows to read again, or that all are other ones. */
export type News = readonly Id[] | "all";

export class Database {
  #db: Promise<FarmBase> | null = null;
  #closed = false;

  constructor(readonly name: string) {}

  async read<T>(work: (tx: ReadTx) => Promise<T>): Promise<T> {
    return await work((await this.#begin(FARM_STORES, "readonly")) as ReadTx);
  }

  /** Everything in `work` happens, or nothing; the survey is of the moment of the commit. */
  async write<T>(work: (tx: WriteTx) => Promise<T>, strict = false): Promise<{ result: T; survey: Survey }> {
    const tx = (await this.#begin(FARM_STORES, "readwrite", strict ? "strict" : "default")) as WriteTx;
    try {
      const result = await work(tx);
      const seen = await survey(tx);
      await tx.done;
      return { result, survey: seen };
    } catch (error) {
      throw await undone(tx, error);
    }
  }

  async slip(store: Slips, key: string): Promise<unknown> {
    return await (await this.#begin([store], "readonly")).objectStore(store).get(key);
  }

  /** By itself, since it is called for every key press; such transactions keep the order they are asked for in. */
  async keepSlip(store: Slips, key: string, value: unknown): Promise<void> {
    const tx = await this.#begin([store], "readwrite");
    const slips = (tx as WriteTx).objectStore(store);
    await (value === undefined ? slips.delete(key) : slips.put(value as Heard, key));
    await tx.done;
  }

  close(): void {
    this.#closed = true;
    // A database that never opened has nothing to close.
    this.#db?.then((db) => db.close()).catch(() => undefined);
    this.#db = null;
  }

  async #begin(
    stores: FarmStores,
    mode: "readonly" | "readwrite",
    durability: IDBTransactionDurability = "default",
  ): Promise<ReadTx> {
    for (let again = false; ; again = true) {
      const db = await this.#open();
      try {
        return db.transaction(stores, mode, { durability });
      } catch (error) {
        // WebKit drops connections of pages that were away; the database itself is still there.
        if (again || nameOf(error) !== "InvalidStateError") throw error;
        this.#db = null;
      }
    }
  }

  #open(): Promise<FarmBase> {
    if (this.#closed)
      return Promise.reject(
        new NotSaved("storage", "You signed out of this farm. Sign in again, then save."),
      );
    const lost = () => {
      this.#db = null;
    };
    this.#db ??= openFarmBase(this.name, lost).catch((error) => {
      this.#db = null;
      throw error;
    });
    return this.#db;
  }
}

export async function survey(tx: ReadTx): Promise<Survey> {
  const states = tx.objectStore("marks").index("state");
  const [entries, parked, progress, waiting, refused, outvoted, errands] = await Promise.all([
    tx.objectStore("outbox").getAll(),
    tx.objectStore("parked").getAll(),
    tx.objectStore("meta").get("progress"),
    states.getAll("waiting"),
    states.getAll("refused"),
    tx.objectStore("outvoted").getAll(),
    tx.objectStore("errands").getAll(),
  ]);
  const marks = [...waiting, ...refused];
  return { entries, parked, progress: progress ?? NO_PROGRESS, marks, outvoted, errands };
}

/** The rows of which another page has told, or all. */
export async function confirmedOf(tx: ReadTx, news: News): Promise<Arrived> {
  const confirmed = tx.objectStore("confirmed");
  if (news === "all") return { rows: await confirmed.getAll(), gone: [], all: true };
  const rows = await Promise.all(news.map((id) => confirmed.get(id)));
  return {
    rows: rows.filter((row) => row !== undefined),
    gone: news.filter((_, at) => rows[at] === undefined),
    all: false,
  };
}

/** Takes a transaction back and says why: a full phone shows only in the transaction's own error. */
async function undone(tx: WriteTx, error: unknown): Promise<unknown> {
  try {
    tx.abort();
  } catch {
    // the browser has aborted it already
  }
  const cause = await tx.done.then(() => error).catch((reason: unknown) => reason);
  return nameOf(cause) === "QuotaExceededError" ? cause : error;
}

export function nameOf(error: unknown): string {
  return error instanceof Error ? error.name : "";
}

/** Why nothing was saved, in words. */
export function notSaved(error: unknown): NotSaved {
  if (error instanceof NotSaved) return error;
  if (nameOf(error) === "QuotaExceededError") {
    return new NotSaved(
      "full",
      "This phone has no room left, so nothing was saved. Free some space, then save again.",
    );
  }
  const why = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  return new NotSaved(
    "storage",
    `This phone's storage refused, so nothing was saved (${why}). It may be full: free some space, then save again.`,
  );
}
