/** A database that an earlier release made: nothing in it is lost when this one opens it. */
import { afterEach, expect, test } from "vitest";
import type { Farm } from "../../static/src/store";
import { PICK, pickFields } from "./cast";
import { FakePhone } from "./fake_phone";
import { FakeServer } from "./fake_server";

let farm: Farm;

afterEach(() => farm.close());

/** As version 1 stood, spelt out: this must never follow what the code makes today. */
async function versionOne(phone: FakePhone, outbox: object[]): Promise<void> {
  await new Promise((resolve, reject) => {
    const opening = phone.factory.open(`harvestlog/${phone.person.farm}/${phone.person.id}`, 1);
    opening.onupgradeneeded = () => {
      const db = opening.result;
      db.createObjectStore("confirmed", { keyPath: "id" });
      db.createObjectStore("outbox", { keyPath: "n", autoIncrement: true }).createIndex("op", "op.id");
      db.createObjectStore("parked", { keyPath: "n" }).createIndex("op", "op.id");
      const sent = db.createObjectStore("sent", { keyPath: "n" });
      sent.createIndex("op", "op.id");
      sent.createIndex("until", "until");
      db.createObjectStore("photos", { keyPath: "sha256" });
      db.createObjectStore("marks", { keyPath: "sha256" }).createIndex("state", "state");
      db.createObjectStore("meta");
      db.createObjectStore("drafts").put({ digits: "340" }, "weigh");
      for (const entry of outbox) opening.transaction?.objectStore("outbox").put(entry);
    };
    opening.onsuccess = () => resolve(opening.result.close());
    opening.onerror = () => reject(opening.error);
  });
}

test("version 1, with an unsent pick and a half filled form", async () => {
  const server = new FakeServer();
  const phone = new FakePhone(server, "shed", server.addPerson(server.addFarm("Nordhang"), "Ada"));
  const op = {
    id: "0196a000-0000-7000-8000-0000000000aa",
    verb: "add",
    kind: "pick",
    row: PICK,
    base: 0,
    at: "2026-05-03T07:40:00Z",
    fields: pickFields(),
  };
  await versionOne(phone, [{ n: 4, op, acked: null, tries: 0 }]);
  farm = await phone.farm();
  expect(farm.rows.value.get(PICK)).toMatchObject({ where: "on this phone", fields: pickFields() });
  expect([await farm.draft("weigh"), farm.outvoted.value]).toEqual([{ digits: "340" }, []]);
  expect([await farm.answer("season"), farm.errands.value]).toEqual([undefined, []]);
});
