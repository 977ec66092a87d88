import { IDBDatabase as FakeDatabase, IDBObjectStore as FakeStore } from "fake-indexeddb";
import { describe, expect, test, vi } from "vitest";
import { NotSaved } from "../../static/src/store";
import { aPhoto, aPick, aPicture, aSupplier, ids, PICK } from "./cast";
import { onDisk } from "./fake_phone";
import { farm, phone, reopened } from "./one_store";

describe("a phone with no room left", () => {
  function full(): void {
    vi.spyOn(FakeStore.prototype, "put").mockImplementation(() => {
      throw new DOMException("no room", "QuotaExceededError");
    });
  }

  test("says so in words", async () => {
    const picture = await aPicture(1);
    full();
    await expect(farm.save([aPick()], [picture])).rejects.toThrow(/no room left.*nothing was saved/);
  });

  test("says so too when it shows only as the whole is written out", async () => {
    const { add } = FakeStore.prototype;
    vi.spyOn(FakeStore.prototype, "add").mockImplementation(function (this: IDBObjectStore, ...args) {
      const { transaction } = this as unknown as { transaction: { _abort(name: string): void } };
      queueMicrotask(() => transaction._abort("QuotaExceededError"));
      return add.apply(this, args);
    });
    await expect(farm.save([aPick()])).rejects.toThrow(/no room left/);
  });

  test("refuses the whole save as NotSaved", async () => {
    const picture = await aPicture(1);
    full();
    await expect(farm.save([aPick()], [picture])).rejects.toBeInstanceOf(NotSaved);
  });

  test("keeps what was saved before, and nothing of the refused save", async () => {
    await farm.save([aPick()]);
    const picture = await aPicture(1);
    full();
    await farm.save([aSupplier(ids(1)[0]!)], [picture]).catch(() => undefined);
    vi.restoreAllMocks();
    expect([...(await reopened()).rows.value.keys()]).toEqual([PICK]);
  });

  test("gives up copies of pictures the server has before it refuses a record", async () => {
    const copy = await aPicture(9);
    phone.device.fetchPicture = async () => copy.bytes;
    await (await reopened()).pictureUrl(copy.sha256);
    const { put, delete: remove } = FakeStore.prototype;
    let room = false;
    vi.spyOn(FakeStore.prototype, "delete").mockImplementation(function (this: IDBObjectStore, key) {
      room ||= key === copy.sha256;
      return remove.call(this, key);
    });
    vi.spyOn(FakeStore.prototype, "put").mockImplementation(function (this: IDBObjectStore, ...args) {
      if (!room) throw new DOMException("no room", "QuotaExceededError");
      return put.apply(this, args);
    });
    const [mine, thumb] = [await aPicture(1), await aPicture(2)];
    await farm.save([aPhoto(mine, thumb)], [mine, thumb]);
    const kept = (await onDisk(phone)).photos.map(({ sha256 }) => sha256);
    expect(kept.sort()).toEqual([mine.sha256, thumb.sha256].sort());
  });
});

describe("a draft", () => {
  test("is there when the app is opened again", async () => {
    await farm.keepDraft("delivery", { lot: "W-114", count: "12" });
    expect(await (await reopened()).draft("delivery")).toEqual({ lot: "W-114", count: "12" });
  });

  test("is what was typed last, however fast", async () => {
    await Promise.all(["3", "34", "340"].map((digits) => farm.keepDraft("weigh", digits)));
    expect(await farm.draft("weigh")).toBe("340");
  });

  test("is gone when it is cleared", async () => {
    await farm.keepDraft("weigh", "340");
    await farm.keepDraft("weigh", undefined);
    expect(await farm.draft("weigh")).toBeUndefined();
  });
});

test("a connection that the browser dropped is opened again for the next save", async () => {
  const original = FakeDatabase.prototype.transaction;
  let dropped = false;
  vi.spyOn(FakeDatabase.prototype, "transaction").mockImplementation(function (this: IDBDatabase, ...args) {
    if (dropped) return original.apply(this, args);
    dropped = true;
    throw new DOMException("The database connection is closing.", "InvalidStateError");
  });
  await farm.save([aPick()]);
  expect((await onDisk(phone)).outbox).toHaveLength(1);
});

test("a database of a newer release still opens, with its unsent records", async () => {
  await farm.save([aPick()]);
  farm.close();
  await new Promise((resolve, reject) => {
    const opening = phone.factory.open(`harvestlog/${phone.person.farm}/${phone.person.id}`, 99);
    opening.onupgradeneeded = () => opening.result.createObjectStore("of_a_later_release");
    opening.onsuccess = () => resolve(opening.result.close());
    opening.onerror = () => reject(opening.error);
  });
  expect((await reopened()).outbox.value).toHaveLength(1);
});
