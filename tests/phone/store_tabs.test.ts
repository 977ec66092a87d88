import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { Farm } from "../../static/src/store";
import { aPick, aSupplier, ids, PICK, pickFields } from "./cast";
import { FakePhone, shown } from "./fake_phone";
import { FakeServer } from "./fake_server";

let one: Farm;
let other: Farm;

beforeEach(async () => {
  const server = new FakeServer();
  const phone = new FakePhone(server, "shed", server.addPerson(server.addFarm("Nordhang"), "Ada"));
  [one, other] = [await phone.farm(), await phone.farm()];
});

afterEach(() => {
  one.close();
  other.close();
});

describe("two pages of one phone", () => {
  test("both show what one of them saved", async () => {
    await one.save([aPick()]);
    await vi.waitFor(() => expect(other.rows.value.get(PICK)?.where).toBe("on this phone"));
  });

  test("number their changes in one order", async () => {
    const [first, second, third] = ids(3) as [string, string, string];
    await one.save([aSupplier(first)]);
    await other.save([aSupplier(second)]);
    await one.save([aSupplier(third)]);
    await vi.waitFor(() => expect(other.outbox.value.map(({ row }) => row)).toEqual([first, second, third]));
  });

  test("both lose nothing when they save at the same moment", async () => {
    const all = ids(20);
    await Promise.all(all.map((id, at) => (at % 2 ? one : other).save([aSupplier(id)])));
    await vi.waitFor(() => expect([one, other].map((page) => page.rows.value.size)).toEqual([20, 20]));
  });

  test("both show what one of them fetched", async () => {
    await one.reset("e1");
    const row = {
      kind: "pick",
      id: PICK,
      seq: 3,
      deleted: false,
      author: null,
      fields: pickFields(),
    } as const;
    await one.takePage({ epoch: "e1", since: 0, rows: [row], upto: 3, more: false });
    await vi.waitFor(() => expect(shown(other)).toBe(shown(one)));
  });

  test("both forget a history that one of them heard is gone", async () => {
    await one.reset("e1");
    const row = {
      kind: "pick",
      id: PICK,
      seq: 3,
      deleted: false,
      author: null,
      fields: pickFields(),
    } as const;
    await one.takePage({ epoch: "e1", since: 0, rows: [row], upto: 3, more: false });
    await vi.waitFor(() => expect(other.rows.value.size).toBe(1));
    await one.reset("e2");
    await vi.waitFor(() => expect(other.rows.value.size).toBe(0));
  });

  test("do not store one page of rows over a later one", async () => {
    await one.reset("e1");
    const at = (seq: number, note: string) =>
      ({ kind: "pick", id: PICK, seq, deleted: false, author: null, fields: pickFields({ note }) }) as const;
    await one.takePage({ epoch: "e1", since: 0, rows: [at(3, "older")], upto: 3, more: false });
    await one.takePage({ epoch: "e1", since: 3, rows: [at(5, "newer")], upto: 5, more: false });
    await other.takePage({ epoch: "e1", since: 0, rows: [at(3, "older")], upto: 3, more: false });
    expect(one.progress.cursor).toBe(5);
    await other.refresh();
    expect(other.rows.value.get(PICK)?.fields).toMatchObject({ note: "newer" });
  });

  test("agree at the start of a pass even when no word of the other came through", async () => {
    const deaf = vi.spyOn(BroadcastChannel.prototype, "postMessage").mockImplementation(() => undefined);
    await one.reset("e1");
    const row = {
      kind: "pick",
      id: PICK,
      seq: 3,
      deleted: false,
      author: null,
      fields: pickFields(),
    } as const;
    await one.takePage({ epoch: "e1", since: 0, rows: [row], upto: 3, more: false });
    deaf.mockRestore();
    await other.refresh();
    expect(shown(other)).toBe(shown(one));
  });
});
