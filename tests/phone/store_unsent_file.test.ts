import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { type Farm, Refused } from "../../static/src/store";
import { aPhoto, aPick, aPicture, PICK } from "./cast";
import { FakePhone, onDisk, shown, throwsAway } from "./fake_phone";
import { FakeServer, type Person } from "./fake_server";

let server: FakeServer;
let ada: Person;
let farm: Farm;
let fresh: Farm;
let phone: FakePhone;
let freshPhone: FakePhone;

beforeEach(async () => {
  server = new FakeServer();
  ada = server.addPerson(server.addFarm("Nordhang"), "Ada");
  phone = new FakePhone(server, "old phone", ada);
  farm = await phone.farm();
  freshPhone = new FakePhone(server, "new phone", ada, 2);
  fresh = await freshPhone.farm();
});

afterEach(() => {
  farm.close();
  fresh.close();
});

async function pickWithPhoto(): Promise<void> {
  const [full, thumb] = [await aPicture(1, 20_000), await aPicture(2)];
  await farm.save([aPick(), aPhoto(full, thumb)], [full, thumb]);
}

async function refusePick(): Promise<void> {
  await farm.reset("e1");
  const { id } = farm.outbox.value.find(({ kind }) => kind === "pick")!;
  await farm.acknowledge("e1", [
    {
      id,
      status: "rejected",
      seq: null,
      code: "not_acceptable",
      message: "wet_g 0: give more.",
      field: "wet_g",
      lost: [],
    },
  ]);
}

describe("the file of unsent records", () => {
  test("brings the records to another phone", async () => {
    await pickWithPhoto();
    await fresh.importUnsent(await farm.exportUnsent());
    expect(shown(fresh)).toBe(shown(farm));
  });

  test("brings the pictures to another phone, byte for byte", async () => {
    await pickWithPhoto();
    await fresh.importUnsent(await farm.exportUnsent());
    const [was, is] = await Promise.all([onDisk(phone), onDisk(freshPhone)]);
    expect(is.photos.map(({ sha256, bytes }) => [sha256, [...new Uint8Array(bytes)]])).toEqual(
      was.photos.map(({ sha256, bytes }) => [sha256, [...new Uint8Array(bytes)]]),
    );
  });

  test("brings back a picture that the browser has thrown away since", async () => {
    await pickWithPhoto();
    const { sha256 } = await aPicture(1, 20_000);
    const file = await farm.exportUnsent();
    await throwsAway(phone, sha256);
    expect(await farm.pictureBytes(sha256)).toBeUndefined();
    await farm.importUnsent(file);
    expect((await farm.pictureBytes(sha256))?.byteLength).toBe(20_000);
  });

  test("says how many changes were new", async () => {
    await pickWithPhoto();
    expect(await fresh.importUnsent(await farm.exportUnsent())).toBe(2);
  });

  test("taken in twice changes nothing more", async () => {
    await pickWithPhoto();
    const file = await farm.exportUnsent();
    await fresh.importUnsent(file);
    const once = await onDisk(freshPhone);
    expect(await fresh.importUnsent(file)).toBe(0);
    expect(await onDisk(freshPhone)).toEqual(once);
  });

  test("taken in where it was made changes nothing", async () => {
    await pickWithPhoto();
    expect(await farm.importUnsent(await farm.exportUnsent())).toBe(0);
  });

  test("does not bring back what was sent since", async () => {
    await pickWithPhoto();
    const file = await farm.exportUnsent();
    await farm.reset("e1");
    const acks = farm.outbox.value.map(({ id }, at) => ({
      id,
      status: "applied" as const,
      seq: at + 1,
      code: null,
      message: null,
      field: null,
      lost: [],
    }));
    await farm.acknowledge("e1", acks);
    await farm.takePage({ epoch: "e1", since: 0, rows: [], upto: 2, more: false });
    expect(await farm.importUnsent(file)).toBe(0);
  });

  test("brings refused changes as refused, with their words", async () => {
    await farm.save([aPick(PICK, { wet_g: 0 })]);
    await refusePick();
    await fresh.importUnsent(await farm.exportUnsent());
    expect(fresh.parked.value[0]).toMatchObject({
      message: "wet_g 0: give more.",
      field: "wet_g",
      op: { row: PICK },
    });
  });

  test("of another person is refused in words", async () => {
    await pickWithPhoto();
    const bo = server.addPerson(server.farms.get(ada.farm)!, "Bo");
    const theirs = await new FakePhone(server, "phone of Bo", bo).farm();
    await expect(theirs.importUnsent(await farm.exportUnsent())).rejects.toThrow(/another person/);
    theirs.close();
  });

  test("that is no such file is refused in words", async () => {
    await expect(fresh.importUnsent(new Blob(["shopping list"]))).rejects.toBeInstanceOf(Refused);
  });

  test("with a damaged picture is refused whole", async () => {
    await pickWithPhoto();
    const text = await (await farm.exportUnsent()).text();
    const damaged = new Blob([text.replace(/"base64":"AQEB/, '"base64":"AQEC')]);
    await expect(fresh.importUnsent(damaged)).rejects.toThrow(/damaged/);
    expect(fresh.rows.value.size).toBe(0);
  });

  test("cut short is refused whole", async () => {
    await pickWithPhoto();
    const whole = await farm.exportUnsent();
    await expect(fresh.importUnsent(whole.slice(0, whole.size - 40))).rejects.toBeInstanceOf(Refused);
  });
});
