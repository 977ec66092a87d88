import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { Farm } from "../../static/src/store";
import type { PhoneSync } from "../../static/src/sync";
import { aPhoto, aPicture, PHOTO } from "./cast";
import { FakePhone, json, NO_SERVER, onDisk, opened, PORTAL } from "./fake_phone";
import { FakeServer } from "./fake_server";

let server: FakeServer;
let phone: FakePhone;
let sync: PhoneSync;
let farm: Farm;

beforeEach(async () => {
  server = new FakeServer();
  phone = new FakePhone(server, "shed", server.addPerson(server.addFarm("Nordhang"), "Ada"));
  ({ sync, farm } = await opened(phone));
  phone.calls.length = 0;
});

afterEach(() => sync.stop());

const theFarm = () => server.farms.get(phone.person.farm)!;

describe("pictures", () => {
  test("go after their record, one at a time, all thumbnails first", async () => {
    const pictures = await Promise.all([1, 2, 3, 4].map((fill) => aPicture(fill)));
    const [full, thumb, full2, thumb2] = pictures as [never, never, never, never];
    await farm.save(
      [aPhoto(full, thumb), aPhoto(full2, thumb2, "0196a000-0000-7000-8000-0000000000f1")],
      pictures,
    );
    await sync.tryNow();
    const puts = phone.calls
      .filter(({ method }) => method === "PUT")
      .map(({ path }) => path.slice("/api/photos/".length));
    expect(puts).toEqual(
      [pictures[1], pictures[3], pictures[0], pictures[2]].map((picture) => picture?.sha256),
    );
  });

  test.each<[string, () => Response]>([
    ["an empty answer", () => new Response(null, { status: 200 })],
    ["a portal's page", PORTAL],
    ["a portal's JSON", () => json(200, { welcome: true })],
    ["another picture's name", () => json(200, { sha256: "0".repeat(64) })],
  ])("do not count as sent by %s", async (_, answer) => {
    const [full, thumb] = [await aPicture(1), await aPicture(2)];
    await farm.save([aPhoto(full, thumb)], [full, thumb]);
    phone.fault = ({ method }) => (method === "PUT" ? answer() : undefined);
    await sync.tryNow();
    expect(farm.picturesWaiting.value).toBe(2);
  });

  test("in full size are dropped by the pass after the one that sent them", async () => {
    const [full, thumb] = [await aPicture(1), await aPicture(2)];
    await farm.save([aPhoto(full, thumb)], [full, thumb]);
    await sync.tryNow();
    const after = async () => (await onDisk(phone)).photos.length;
    const [sent] = [await after()];
    await sync.tryNow();
    expect([sent, await after()]).toEqual([2, 1]);
  });

  test("the server fails on do not keep the others from going, after three passes", async () => {
    const [full, thumb] = [await aPicture(1), await aPicture(2)];
    await farm.save([aPhoto(full, thumb)], [full, thumb]);
    phone.fault = ({ path }) =>
      path.endsWith(thumb.sha256) ? json(500, { code: "failed", message: "The server failed." }) : undefined;
    for (const _ of [1, 2, 3]) await sync.tryNow();
    sync.stop();
    sync = phone.sync();
    await sync.start();
    await vi.waitFor(() => expect([...theFarm().pictures.keys()]).toEqual([full.sha256]));
    expect(sync.door.value.store?.rows.value.get(PHOTO)?.where).toBe("needs attention");
  });

  test.each([
    [400, "cut_off"],
    [503, "busy"],
    [507, "full"],
  ])("are not set aside by %i %s, which says nothing of them", async (status, code) => {
    const [full, thumb] = [await aPicture(1), await aPicture(2)];
    await farm.save([aPhoto(full, thumb)], [full, thumb]);
    phone.fault = ({ method }) => (method === "PUT" ? json(status, { code, message: "Later." }) : undefined);
    for (let pass = 0; pass < 4; pass++) {
      sync.stop();
      sync = phone.sync();
      await sync.start();
      await vi.waitFor(() => expect(sync.pass.value.trouble).toBe("server is ill"));
    }
    expect(sync.door.value.store?.picturesWaiting.value).toBe(2);
  });

  test("the browser has lost before they were sent need attention, and say why", async () => {
    const [full, thumb] = [await aPicture(1), await aPicture(2)];
    phone.fault = NO_SERVER;
    await farm.save([aPhoto(full, thumb)], [full, thumb]);
    await new Promise((resolve) => {
      const opening = phone.factory.open(`harvestlog/${phone.person.farm}/${phone.person.id}`);
      opening.onsuccess = () => {
        const tx = opening.result.transaction("photos", "readwrite");
        tx.objectStore("photos").clear();
        tx.oncomplete = () => resolve(opening.result.close());
      };
    });
    phone.fault = null;
    for (const _ of [1, 2]) await sync.tryNow();
    expect(farm.rows.value.get(PHOTO)?.where).toBe("needs attention");
    expect([...farm.refusedPictures.value.values()]).toEqual(
      Array(2).fill(expect.stringMatching(/Take it again/)),
    );
  });
});
