/**
 * Two phones and a server, driven by chance: lost requests, lost and doubled answers, portals, kills between any two
 * writes, wrong clocks, a restored server. Every failure names its seed, and a seed always runs the same way.
 */
import { IDBObjectStore as FakeStore } from "fake-indexeddb";
import { afterEach, describe, expect, test, vi } from "vitest";
import type { Id, Op } from "../../static/src/records/types";
import type { Farm, Row } from "../../static/src/store";
import type { PhoneSync } from "../../static/src/sync";
import { aPick, aSupplier } from "./cast";
import type { FakeFarm } from "./fake_farm";
import { FakePhone, type Fault, onDisk, PORTAL, shown } from "./fake_phone";
import { FakeServer } from "./fake_server";

const SEEDS = Array.from({ length: 24 }, (_, at) => at + 1);
const STEPS = 45;

type Dice = (sides: number) => number;

function dice(seed: number): Dice {
  let state = seed * 7919;
  return (sides) => {
    state = (state * 48271) % 2147483647;
    return Math.floor((state / 2147483647) * sides);
  };
}

/** A phone, the page that is open on it, and what the person on it has done. */
class Grower {
  readonly made = new Set<Id>();
  readonly givenUp = new Set<Id>();
  page!: PhoneSync;
  #furthest = { epoch: "", cursor: 0, checkpoint: 0 };
  /** a form that stays open over many steps, with the row it showed when it was opened */
  #form: Row | null = null;
  #rows = 0;

  constructor(
    readonly phone: FakePhone,
    readonly roll: Dice,
    readonly base: number,
  ) {}

  get farm(): Farm {
    return this.page.door.value.store as Farm;
  }

  /** Opens the app; whatever an earlier page still had in hand is gone. */
  async open(): Promise<void> {
    this.page?.stop();
    vi.restoreAllMocks();
    this.phone.fault = null;
    this.page = this.phone.sync();
    await this.page.start();
    await this.page.tryNow();
  }

  async act(): Promise<void> {
    this.phone.take();
    const what = this.roll(10);
    if (what < 5) await this.#save();
    else if (what < 8) await this.#pass();
    else if (what < 9) await this.#killed();
    else await this.#lookAtRefused();
    this.#remember();
  }

  newRow(): Id {
    this.#rows += 1;
    return `0196c000-0000-7000-8000-${String(this.base + this.#rows).padStart(12, "0")}`;
  }

  async #save(): Promise<void> {
    const rows = [...this.farm.rows.value.values()];
    const row = rows[this.roll(rows.length || 1)];
    const what = row ? this.roll(6) : 0;
    const note = `note ${this.roll(1000)}`;
    if (!row || what < 2)
      await this.farm.save([
        aSupplier(this.newRow(), { note }),
        aPick(this.newRow(), { wet_g: this.roll(4) * 100 }),
      ]);
    else if (what < 4) await this.#patch(row, note);
    else await this.farm.save([{ verb: what === 4 ? "delete" : "restore", kind: row.kind, id: row.id }]);
  }

  /** Now and then what is saved is a form that was opened long ago, with all its fields. */
  async #patch(row: Row, note: string): Promise<void> {
    const open = this.#form;
    this.#form = this.roll(2) ? row : null;
    const seen = open ?? row;
    const { kind, id } = seen;
    const typed = kind === "pick" ? { wet_g: (this.roll(4) + 1) * 100, typed: note } : { note };
    const fields = { ...seen.fields, ...typed };
    await this.farm.save([{ verb: "patch", kind, id, fields, ...(open && { seen }) } as never]);
  }

  async #pass(): Promise<void> {
    this.phone.fault = this.#badLine();
    await this.page.tryNow();
    this.phone.fault = null;
  }

  #badLine(): Fault {
    return (_, through) => {
      const luck = this.roll(12);
      if (luck === 0) throw new TypeError("request lost");
      if (luck === 1) return PORTAL();
      if (luck < 4) through();
      if (luck === 3) throw new TypeError("answer lost");
      return undefined;
    };
  }

  /** The page dies at some write of a pass or of a save, and the app is opened again. */
  async #killed(): Promise<void> {
    dieAtWrite(this.roll(25));
    await (this.roll(2) ? this.page.tryNow() : this.#save().catch(() => undefined));
    await this.open();
  }

  async #lookAtRefused(): Promise<void> {
    const refused = this.farm.parked.value[0];
    if (!refused) return;
    this.givenUp.add(refused.op.id);
    if (this.roll(2)) await this.farm.discard(refused.op.id);
    else await this.farm.resend(refused.op.id, "wet_g" in refused.op.fields ? { wet_g: 50 } : {});
  }

  #remember(): void {
    for (const { id } of this.farm.outbox.value) this.made.add(id);
    for (const { op } of this.farm.parked.value) this.made.add(op.id);
  }

  /** Promises that hold at every moment. */
  async check(applied: ReadonlySet<Id>): Promise<void> {
    const { outbox, parked, sent } = await onDisk(this.phone);
    const somewhere = new Set([...outbox, ...parked, ...sent].map(({ op }) => op.id));
    const lost = [...this.made].filter(
      (id) => !somewhere.has(id) && !applied.has(id) && !this.givenUp.has(id),
    );
    expect(lost, "changes that vanished").toEqual([]);

    const unseen = outbox.filter(({ op }) => op.verb === "add" && !this.farm.rows.value.has(op.row));
    expect(unseen, "unsent records that are not shown").toEqual([]);

    const { epoch, cursor, checkpoint } = this.farm.progress;
    const before = this.#furthest;
    if (epoch === before.epoch) {
      expect(cursor, "the cursor").toBeGreaterThanOrEqual(before.cursor);
      expect(checkpoint, "the checkpoint").toBeGreaterThanOrEqual(before.checkpoint);
    }
    this.#furthest = { epoch, cursor, checkpoint };
  }
}

function dieAtWrite(nth: number): void {
  let left = nth;
  for (const name of ["put", "add", "delete", "clear"] as const) {
    const original = FakeStore.prototype[name] as (this: IDBObjectStore, ...args: unknown[]) => IDBRequest;
    vi.spyOn(FakeStore.prototype, name).mockImplementation(function (
      this: IDBObjectStore,
      ...args: unknown[]
    ) {
      if (left-- > 0) return original.apply(this, args);
      this.transaction.abort();
      throw new DOMException("the page is gone", "AbortError");
    } as never);
  }
}

async function twoGrowers(seed: number) {
  const roll = dice(seed);
  const server = new FakeServer();
  const home = server.addFarm("Nordhang");
  const growers: Grower[] = [];
  for (const [at, name] of ["Ada", "Bo"].entries()) {
    const phone = new FakePhone(server, name, server.addPerson(home, name), seed * 10 + at + 1).signedIn();
    // Off by up to ten years either way, for every third seed.
    if (seed % 3 === 0) phone.ahead = (roll(21) - 10) * 365 * 86_400_000;
    growers.push(new Grower(phone, roll, at * 1_000_000));
  }
  for (const grower of growers) await grower.open();
  return { roll, server, home, growers };
}

/** Every operation that was ever applied, also by a history that was lost. */
function applied(home: FakeFarm): Set<Id> {
  return new Set(home.applied.map(({ id }: Op) => id));
}

async function settle(growers: Grower[]): Promise<void> {
  for (let round = 0; round < 8; round++) {
    for (const grower of growers) {
      grower.phone.take();
      await grower.page.tryNow();
    }
  }
}

afterEach(() => vi.restoreAllMocks());

describe("two phones that did as they liked", () => {
  test.each(SEEDS)("end equal to the server and to each other (seed %i)", async (seed) => {
    const { roll, server, home, growers } = await twoGrowers(seed);
    let backup = home.backup();
    for (let step = 0; step < STEPS; step++) {
      await growers[roll(2)]!.act();
      if (step === 15) backup = home.backup();
      if (step === 30 && seed % 2 === 0) server.restore(home, backup);
      if (step !== 30) for (const grower of growers) await grower.check(applied(home));
    }
    await settle(growers);
    expect(growers.map(({ farm }) => farm.outbox.value.length)).toEqual([0, 0]);
    expect(growers.map(({ farm }) => shown(farm))).toEqual(Array(2).fill(home.canonical()));
    for (const grower of growers) grower.page.stop();
  });
});

describe("the checks notice", () => {
  test("a phone that loses a change", async () => {
    const { home, growers } = await twoGrowers(1);
    const [ada] = growers as [Grower, Grower];
    ada.phone.take();
    await ada.farm.save([aSupplier(ada.newRow())]);
    ada.made.add(ada.farm.outbox.value[0]!.id);
    await new Promise((resolve) => {
      const opening = ada.phone.factory.open(`harvestlog/${ada.phone.person.farm}/${ada.phone.person.id}`);
      opening.onsuccess = () => {
        const tx = opening.result.transaction("outbox", "readwrite");
        tx.objectStore("outbox").clear();
        tx.oncomplete = () => resolve(opening.result.close());
      };
    });
    await expect(ada.check(applied(home))).rejects.toThrow("changes that vanished");
  });

  test("a server that forgets a row without a word", async () => {
    const { home, growers } = await twoGrowers(2);
    const [ada] = growers as [Grower, Grower];
    ada.phone.take();
    await ada.farm.save([aSupplier(ada.newRow())]);
    await settle(growers);
    home.rows.clear();
    expect(shown(ada.farm)).not.toBe(home.canonical());
  });
});
