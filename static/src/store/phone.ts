/** The small database beside the farms': which phone this is, and whose. It holds no record of any farm. */
import { type DBSchema, type IDBPDatabase, openDB } from "idb";
import type { Id } from "../records/types";
import { notSaved } from "./database";

interface PhoneSchema extends DBSchema {
  phone: { key: "device" | "who" | "leaving"; value: unknown };
}

function upgradePhone(db: IDBPDatabase<PhoneSchema>, from: number): void {
  if (from < 1) db.createObjectStore("phone");
}

export class PhoneMemory {
  private constructor(
    /** this phone's id; the server knows it by no other */
    readonly device: Id,
    /** as it was remembered, to be checked by whoever reads it */
    public who: unknown,
    /** signed out here, but the server has not heard of it yet */
    public leaving: boolean,
  ) {}

  static async open(newId: () => Id): Promise<PhoneMemory> {
    return await withPhone(async (db) => {
      const tx = db.transaction("phone", "readwrite", { durability: "strict" });
      const kept = await tx.store.get("device");
      const device = typeof kept === "string" ? kept : newId();
      if (kept !== device) await tx.store.put(device, "device");
      const { who, leaving } = await whoIn(tx.store);
      await tx.done;
      return new PhoneMemory(device, who, leaving);
    });
  }

  /** What another page of this phone has written since. */
  async readAgain(): Promise<void> {
    Object.assign(this, await withPhone((db) => whoIn(db.transaction("phone").store)));
  }

  async remember(who: unknown): Promise<void> {
    await this.#put(who, false);
  }

  async forget(): Promise<void> {
    await this.#put(undefined, true);
  }

  /** The server has heard of the sign-out. */
  async left(): Promise<void> {
    await this.#put(this.who, false);
  }

  async #put(who: unknown, leaving: boolean): Promise<void> {
    await withPhone(async (db) => {
      const tx = db.transaction("phone", "readwrite", { durability: "strict" });
      await Promise.all([tx.store.put(who, "who"), tx.store.put(leaving, "leaving"), tx.done]);
    });
    this.who = who;
    this.leaving = leaving;
  }
}

interface Readable {
  get(key: "who" | "leaving"): Promise<unknown>;
}

async function whoIn(store: Readable): Promise<{ who: unknown; leaving: boolean }> {
  const [who, leaving] = await Promise.all([store.get("who"), store.get("leaving")]);
  return { who, leaving: leaving === true };
}

/** Opened for each use: a kept connection can be lost. */
async function withPhone<T>(work: (db: IDBPDatabase<PhoneSchema>) => Promise<T>): Promise<T> {
  try {
    const db = await openDB<PhoneSchema>("harvestlog", 1, { upgrade: upgradePhone });
    try {
      return await work(db);
    } finally {
      db.close();
    }
  } catch (error) {
    throw notSaved(error);
  }
}
