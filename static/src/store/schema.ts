/** The phone's databases: what stands in which store, and the steps from one version to the next. */
import { type DBSchema, type IDBPDatabase, type IDBPTransaction, openDB, type StoreNames } from "idb";
import type { Unsettled } from "../records/replay";
import type { Confirmed, Id, Instant, Op } from "../records/types";
import type { Errand, Heard, Outvoted, Parked } from "./api";

/** A change in the outbox. `n` is its place in the order of making, which it keeps wherever it goes. */
export interface Entry extends Unsettled {
  n: number;
  /** passes in which the server did not know the row yet */
  tries: number;
}

export interface ParkedEntry extends Parked {
  n: number;
}

/** A change the server has confirmed, kept until `until` (ms) in case the server is restored from an older copy. */
export interface ShelfEntry {
  n: number;
  op: Op;
  until: number;
}

/**
 * waiting: made here, not on the server. sent: a full picture the server took, dropped at the next checkpoint.
 * kept: a thumbnail the server took. fetched: the server's own copy, given up first when room is short. refused: set aside.
 */
export type PictureState = "waiting" | "sent" | "kept" | "fetched" | "refused";

export interface Mark {
  sha256: string;
  state: PictureState;
  thumb: boolean;
  tries: number;
  message: string;
}

/** The latest that an answer said of the farm's history: its head, and the hash of all up to there. */
export interface Witness {
  head: number;
  chain: string;
}

/** How far this phone has read the farm's history, and what it knows of the server. */
export interface Progress {
  epoch: string; // "" before the first answer
  cursor: number;
  checkpoint: number;
  witness?: Witness; // by which the server notices that an older file was put in its place
  lastDone: Instant | null;
  aheadMs: number | null; // this phone's clock minus the server's
  ghosts: Id[]; // rows of a lost history, shown while unsent changes still want them
  askedToKeep: boolean;
}

export const NO_PROGRESS: Progress = {
  epoch: "",
  cursor: 0,
  checkpoint: 0,
  lastDone: null,
  aheadMs: null,
  ghosts: [],
  askedToKeep: false,
};

export interface FarmSchema extends DBSchema {
  confirmed: { key: Id; value: Confirmed };
  outbox: { key: number; value: Entry; indexes: { op: Id } };
  parked: { key: number; value: ParkedEntry; indexes: { op: Id } };
  sent: { key: number; value: ShelfEntry; indexes: { op: Id; until: number } };
  photos: { key: string; value: { sha256: string; bytes: ArrayBuffer } };
  marks: { key: string; value: Mark; indexes: { state: PictureState } };
  meta: { key: string; value: Progress };
  drafts: { key: string; value: unknown };
  outvoted: { key: Id; value: Outvoted };
  answers: { key: string; value: Heard };
  errands: { key: Id; value: Errand };
}

export type FarmBase = IDBPDatabase<FarmSchema>;
export type FarmStores = StoreNames<FarmSchema>[];
export type WriteTx = IDBPTransaction<FarmSchema, FarmStores, "readwrite">;
export type ReadTx = IDBPTransaction<FarmSchema, FarmStores, "readonly" | "readwrite">;

export const FARM_STORES: FarmStores = [
  "confirmed",
  "outbox",
  "parked",
  "sent",
  "photos",
  "marks",
  "meta",
  "drafts",
  "outvoted",
  "answers",
  "errands",
];
const FARM_VERSION = 3;

/** Unsent records are bound to server (the page's origin), farm and person by the name of the database they lie in. */
export function farmBaseName(farm: Id, person: Id): string {
  return `harvestlog/${farm}/${person}`;
}

function upgradeFarm(db: FarmBase, from: number): void {
  if (from < 1) {
    db.createObjectStore("confirmed", { keyPath: "id" });
    db.createObjectStore("outbox", { keyPath: "n", autoIncrement: true }).createIndex("op", "op.id");
    db.createObjectStore("parked", { keyPath: "n" }).createIndex("op", "op.id");
    const sent = db.createObjectStore("sent", { keyPath: "n" });
    sent.createIndex("op", "op.id");
    sent.createIndex("until", "until");
    db.createObjectStore("photos", { keyPath: "sha256" });
    db.createObjectStore("marks", { keyPath: "sha256" }).createIndex("state", "state");
    db.createObjectStore("meta");
    db.createObjectStore("drafts");
  }
  if (from < 2) db.createObjectStore("outvoted", { keyPath: "row" });
  if (from < 3) {
    db.createObjectStore("answers");
    db.createObjectStore("errands", { keyPath: "id" });
  }
}

/** `lost` is called when the browser or a newer page takes the connection away. */
export async function openFarmBase(name: string, lost: () => void): Promise<FarmBase> {
  const blocking = (_: number, __: number | null, event: IDBVersionChangeEvent): void => {
    (event.target as IDBDatabase).close();
    lost();
  };
  try {
    return await openDB<FarmSchema>(name, FARM_VERSION, { upgrade: upgradeFarm, blocking, terminated: lost });
  } catch (error) {
    // A newer release was here and was taken back: later versions only add, so this one can read what it knows.
    if ((error as DOMException).name === "VersionError") {
      return await openDB<FarmSchema>(name, undefined, { blocking, terminated: lost });
    }
    throw error;
  }
}
