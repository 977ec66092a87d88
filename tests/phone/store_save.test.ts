import { IDBDatabase as FakeDatabase, IDBObjectStore as FakeStore } from "fake-indexeddb";
import { describe, expect, test, vi } from "vitest";
import { aPhoto, aPick, aPicture, aSupplier, ids, PHOTO, PICK, pickFields } from "./cast";
import { onDisk } from "./fake_phone";
import { farm, phone, reopened } from "./one_store";

describe("a save", () => {
  test("is shown at once, as on this phone", async () => {
    await farm.save([aPick()]);
    expect(farm.rows.value.get(PICK)).toMatchObject({ where: "on this phone", seq: 0, author: null });
  });

  test("is there when the app is opened again", async () => {
    await farm.save([aPick()]);
    expect((await reopened()).rows.value.get(PICK)?.fields).toEqual(pickFields());
  });

  test("keeps the picture's bytes with the record", async () => {
    const [full, thumb] = [await aPicture(1), await aPicture(2)];
    await farm.save([aPhoto(full, thumb)], [full, thumb]);
    const { photos } = await onDisk(phone);
    expect(photos.map(({ sha256 }) => sha256).sort()).toEqual([full.sha256, thumb.sha256].sort());
  });

  test("asks the disk for strict durability", async () => {
    const begun = vi.spyOn(FakeDatabase.prototype, "transaction");
    await farm.save([aPick()]);
    expect(begun.mock.calls.map(([, mode, options]) => [mode, options?.durability])).toContainEqual([
      "readwrite",
      "strict",
    ]);
  });

  test("is one transaction, whatever is in it", async () => {
    const begun = vi.spyOn(FakeDatabase.prototype, "transaction");
    await farm.save([aPick(), aSupplier(ids(1)[0]!)], [await aPicture(1)]);
    const strict = begun.mock.calls.filter(([, , options]) => options?.durability === "strict");
    expect(strict).toHaveLength(1);
  });

  test("asks once that the browser keeps this phone's data", async () => {
    await farm.save([aPick()]);
    await vi.waitFor(async () => expect((await onDisk(phone)).meta).toMatchObject({ askedToKeep: true }));
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { note: "again" } }]);
    await (await reopened()).save([{ verb: "delete", kind: "pick", id: PICK }]);
    expect(phone.persisted).toBe(1);
  });

  test("clears the draft it was made from, in the same transaction", async () => {
    await farm.keepDraft("weigh", { digits: "340" });
    await farm.save([aPick()], [], "weigh");
    expect(await farm.draft("weigh")).toBeUndefined();
  });
});

describe("a patch", () => {
  test("carries only the fields that changed", async () => {
    await farm.save([aPick()]);
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { wet_g: 340, note: "second look" } }]);
    expect(farm.outbox.value[1]?.fields).toEqual({ note: "second look" });
  });

  test("that changes nothing is no change", async () => {
    await farm.save([aPick()]);
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { wet_g: 340 } }]);
    expect(farm.outbox.value).toHaveLength(1);
  });

  test("back to the value before, in the same save as a change away from it, is kept", async () => {
    await farm.save([aPick()]);
    const patch = (note: string) => ({ verb: "patch", kind: "pick", id: PICK, fields: { note } }) as const;
    await farm.save([patch("away"), patch("")]);
    expect(farm.rows.value.get(PICK)?.fields).toMatchObject({ note: "" });
  });

  test("is based on the confirmed row's number", async () => {
    await farm.reset("e1");
    const row = {
      kind: "pick",
      id: PICK,
      seq: 12,
      deleted: false,
      author: null,
      fields: pickFields(),
    } as const;
    await farm.takePage({ epoch: "e1", since: 0, rows: [row], upto: 12, more: false });
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { note: "seen" } }]);
    expect(farm.outbox.value[0]?.base).toBe(12);
  });

  test("of a row the server has not confirmed is based on 0", async () => {
    await farm.save([aPick()]);
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { note: "unsent" } }]);
    expect(farm.outbox.value[1]?.base).toBe(0);
  });
});

/** Stops the page at the nth write of a transaction, as a kill would: the transaction never commits. */
function killAtWrite(nth: number): () => number {
  let writes = 0;
  for (const name of ["put", "add", "delete"] as const) {
    const original = FakeStore.prototype[name] as (this: IDBObjectStore, ...args: unknown[]) => IDBRequest;
    vi.spyOn(FakeStore.prototype, name).mockImplementation(function (
      this: IDBObjectStore,
      ...args: unknown[]
    ) {
      if (writes++ === nth) {
        this.transaction.abort();
        throw new DOMException("the page is gone", "AbortError");
      }
      return original.apply(this, args);
    } as never);
  }
  return () => writes;
}

describe("a page killed while it saves a pick with a photo", async () => {
  const [full, thumb] = [await aPicture(3), await aPicture(4)];
  const save = () => farm.save([aPick(), aPhoto(full, thumb)], [full, thumb], "weigh");
  const WRITES = 7; // two operations, two pictures with their marks, the draft

  test("has so many moments to be killed at", async () => {
    const writes = killAtWrite(-1);
    await save();
    expect(writes()).toBe(WRITES);
  });

  test.each(Array.from({ length: WRITES }, (_, nth) => nth))(
    "at write %i leaves nothing behind, and the draft",
    async (nth) => {
      await farm.keepDraft("weigh", { digits: "340" });
      killAtWrite(nth);
      await expect(save()).rejects.toThrow();
      vi.restoreAllMocks();
      await reopened();
      const { outbox, photos, marks } = await onDisk(phone);
      expect([outbox, photos, marks, [...farm.rows.value], await farm.draft("weigh")]).toEqual([
        [],
        [],
        [],
        [],
        { digits: "340" },
      ]);
    },
  );

  test("after the save said it was done leaves all of it", async () => {
    await save();
    await reopened();
    expect([...farm.rows.value.keys()].sort()).toEqual([PICK, PHOTO].sort());
    expect((await onDisk(phone)).photos).toHaveLength(2);
  });
});

test("ten thousand records are shown, and one more is a small matter", async () => {
  await farm.reset("e1");
  const rows = ids(10_000).map((id, at) => ({
    kind: "pick" as const,
    id,
    seq: at + 1,
    deleted: false,
    author: null,
    fields: pickFields({ wet_g: at + 1 }),
  }));
  await farm.takePage({ epoch: "e1", since: 0, rows, upto: 10_000, more: false });
  const began = performance.now();
  await farm.save([aPick()]);
  const took = performance.now() - began;
  expect(farm.rows.value.size).toBe(10_001);
  expect(took).toBeLessThan(500); // about 10 ms here; an order of magnitude for a busy machine
});
