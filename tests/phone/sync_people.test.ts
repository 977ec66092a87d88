/** Another person on the same phone, and signing out: nobody's records leave under another's name. */
import { describe, expect, test, vi } from "vitest";
import type { PhoneSync } from "../../static/src/sync";
import { aPick, aSupplier, ids, PICK } from "./cast";
import { NO_SERVER } from "./fake_phone";
import { ada, bo, farmOf, page, phone, rowsOf, server, signedIn } from "./two_people";

describe("another person on the same phone", () => {
  async function adaSavesWithNoServer(): Promise<PhoneSync> {
    const sync = await signedIn(ada);
    phone.fault = NO_SERVER;
    await sync.door.value.store?.save([aPick()]);
    await sync.tryNow();
    phone.fault = null;
    return sync;
  }

  test("does not see the former's unsent records", async () => {
    await adaSavesWithNoServer();
    phone.session = null;
    expect(rowsOf(await signedIn(bo))).toEqual([]);
  });

  test("never sends them as their own", async () => {
    await adaSavesWithNoServer();
    phone.session = { person: bo.id, device: "" }; // in another page
    await (await page()).tryNow();
    expect(farmOf(ada).rows.size).toBe(0);
  });

  test("is noticed by a page that still belongs to the former, before anything is sent", async () => {
    const sync = await adaSavesWithNoServer();
    phone.session = { person: bo.id, device: "" };
    await sync.tryNow();
    expect([sync.door.value.who?.person.name, farmOf(ada).rows.size]).toEqual(["Bo", 0]);
  });

  test("leaves them to be sent when the former is back", async () => {
    await adaSavesWithNoServer();
    await signedIn(bo);
    await signedIn(ada);
    expect([...farmOf(ada).rows.values()].map(({ id, author }) => [id, author])).toEqual([[PICK, ada.id]]);
  });

  test("of another farm does not make this phone forget the first farm's history", async () => {
    const first = await signedIn(ada);
    await first.door.value.store?.save([aSupplier(ids(1)[0]!)]);
    await first.tryNow();
    const stranger = server.addPerson(server.addFarm("Südhang"), "Cy");
    await signedIn(stranger);
    phone.session = null;
    phone.fault = NO_SERVER;
    const again = await page();
    expect([again.door.value.who?.farm.name, farmOf(stranger).rows.size]).toEqual(["Südhang", 0]);
    phone.fault = null;
    expect(rowsOf(await signedIn(ada))).toEqual(ids(1));
  });
});

describe("signing out", () => {
  test("with unsent records is refused, with their number", async () => {
    const sync = await signedIn(ada);
    phone.fault = NO_SERVER;
    await sync.door.value.store?.save([aPick()]);
    await expect(sync.signOut()).rejects.toMatchObject({ code: "unsent", detail: 1 });
  });

  test("with unsent records, when wanted, keeps them for that person", async () => {
    const sync = await signedIn(ada);
    phone.fault = NO_SERVER;
    await sync.door.value.store?.save([aPick()]);
    await sync.signOut(true);
    phone.fault = null;
    const again = await page();
    expect(again.door.value.who).toBeNull();
    await again.signIn({ email: ada.email, password: "correct" });
    await again.tryNow();
    expect(farmOf(ada).rows.has(PICK)).toBe(true);
  });

  test("ends the session on the server", async () => {
    const sync = await signedIn(ada);
    await sync.signOut();
    await vi.waitFor(() => expect([phone.session, sync.door.value.who]).toEqual([null, null]));
  });

  test("with no server in reach lets nobody in again by the old session", async () => {
    const sync = await signedIn(ada);
    phone.fault = NO_SERVER;
    await sync.signOut();
    phone.fault = null;
    const again = await page();
    await again.tryNow();
    expect([again.door.value.who, phone.session]).toEqual([null, null]);
  });

  test("does not wait for a pass that hangs", async () => {
    const sync = await signedIn(ada);
    phone.fault = () => new Promise(() => undefined);
    phone.calls.length = 0;
    void sync.tryNow();
    await vi.waitFor(() => expect(phone.calls).toHaveLength(1));
    await sync.signOut(true);
    expect(sync.door.value.who).toBeNull();
  });
});
