/** A server that was restored from an older copy: the phones give back what it lost. */
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Id } from "../../static/src/records/types";
import type { Farm } from "../../static/src/store";
import type { PhoneSync } from "../../static/src/sync";
import { aPhoto, aPick, aPicture, aSupplier, ids, PHOTO, PICK, pickFields } from "./cast";
import { FakePhone, NO_SERVER, onDisk, shown } from "./fake_phone";
import { FakeServer, type Wanted } from "./fake_server";

let server: FakeServer;
let ada: FakePhone;
let bo: FakePhone;
let adas: PhoneSync;
let bos: PhoneSync;

beforeEach(async () => {
  server = new FakeServer();
  const home = server.addFarm("Nordhang");
  ada = new FakePhone(server, "shed", server.addPerson(home, "Ada"), 11).signedIn();
  bo = new FakePhone(server, "house", server.addPerson(home, "Bo"), 22).signedIn();
  adas = await open(ada);
  bos = await open(bo);
});

afterEach(() => {
  adas.stop();
  bos.stop();
});

async function open(phone: FakePhone): Promise<PhoneSync> {
  const sync = phone.sync();
  await sync.start();
  await sync.tryNow();
  return sync;
}

const theFarm = () => server.farms.get(ada.person.farm)!;
const farmOf = (sync: PhoneSync) => sync.door.value.store as Farm;
const EARLY = ids(1, 100)[0]!;
const ADAS = ids(1, 101)[0]!;

/** One record before the copy was made, one of Ada's after it, a note of Bo's on that; then the copy is put back. */
async function restored(how: "command" | "swap"): Promise<void> {
  await farmOf(adas).save([aSupplier(EARLY)]);
  await adas.tryNow();
  const backup = theFarm().backup();
  await farmOf(adas).save([aSupplier(ADAS)]);
  await adas.tryNow();
  await bos.tryNow();
  await farmOf(bos).save([{ verb: "patch", kind: "supplier", id: ADAS, fields: { note: "from Bo" } }]);
  await bos.tryNow();
  await adas.tryNow();
  server.restore(theFarm(), backup, how);
}

// After a bare swap of the file the epoch is the old one: what the phones have seen tells the histories apart.
describe.each(["command", "swap"] as const)("a server restored by %s", (how) => {
  test("gets back what a phone had sent since the copy", async () => {
    await restored(how);
    await adas.tryNow();
    expect([...theFarm().rows.keys()]).toEqual([EARLY, ADAS]);
  });

  test("gets back another person's change of it, whichever phone comes first", async () => {
    await restored(how);
    for (const sync of [bos, bos, bos, bos, adas, bos, bos]) await sync.tryNow();
    expect(theFarm().rows.get(ADAS)?.fields).toMatchObject({ note: "from Bo" });
  });

  test("ends with all phones and the server equal", async () => {
    await restored(how);
    for (const sync of [adas, bos, adas, bos]) await sync.tryNow();
    expect([shown(farmOf(adas)), shown(farmOf(bos))]).toEqual(Array(2).fill(theFarm().canonical()));
  });

  test("applies nothing twice that the copy still had", async () => {
    await restored(how);
    await adas.tryNow();
    const earlies = theFarm().applied.filter(({ row }) => row === EARLY);
    expect(earlies).toHaveLength(1);
  });

  test("hears again of a delete", async () => {
    await farmOf(adas).save([aSupplier(EARLY)]);
    await adas.tryNow();
    const backup = theFarm().backup();
    await farmOf(adas).save([{ verb: "delete", kind: "supplier", id: EARLY }]);
    await adas.tryNow();
    server.restore(theFarm(), backup, how);
    await adas.tryNow();
    expect(theFarm().rows.get(EARLY)?.deleted).toBe(true);
  });

  test("is sent the pictures again that are still on the phone", async () => {
    const backup = theFarm().backup();
    const [full, thumb] = [await aPicture(1), await aPicture(2)];
    await farmOf(adas).save([aPhoto(full, thumb)], [full, thumb]);
    await adas.tryNow();
    server.restore(theFarm(), backup, how);
    await adas.tryNow();
    expect([...theFarm().pictures.keys()].sort()).toEqual([full.sha256, thumb.sha256].sort());
    expect(theFarm().rows.has(PHOTO)).toBe(true);
  });
});

describe("a file that was swapped while its new history has overtaken what the phones had read", () => {
  const NOTE = { verb: "patch", kind: "supplier", id: EARLY, fields: { note: "since" } } as const;

  /** Ada's record came after the copy; then Bo, who had not read it, sends more to the old file than was lost. */
  async function overtaken(): Promise<void> {
    await farmOf(bos).save([aSupplier(EARLY)]);
    await bos.tryNow();
    await adas.tryNow();
    const backup = theFarm().backup();
    await farmOf(adas).save([aSupplier(ADAS)]);
    await adas.tryNow();
    server.restore(theFarm(), backup, "swap");
    await farmOf(bos).save([NOTE, { ...NOTE, fields: { note: "much later" } }]);
    await bos.tryNow();
  }

  test("is noticed by a phone whose cursor lies within that history", async () => {
    await overtaken();
    expect(farmOf(adas).progress.cursor).toBeLessThan(theFarm().seq);
    await adas.tryNow();
    expect(theFarm().rows.has(ADAS)).toBe(true);
  });

  test("ends with all phones and the server equal", async () => {
    await overtaken();
    for (const sync of [adas, bos, adas, bos]) await sync.tryNow();
    expect([shown(farmOf(adas)), shown(farmOf(bos))]).toEqual(Array(2).fill(theFarm().canonical()));
    expect(theFarm().rows.get(EARLY)?.fields).toMatchObject({ note: "much later" });
  });

  test("is noticed before a change is pushed into it", async () => {
    await overtaken();
    const taken = theFarm().applied.length;
    await farmOf(adas).save([aPick()]);
    const heads: number[] = [];
    ada.fault = ({ path }) => {
      if (path === "/api/sync/pull") heads.push(theFarm().applied.length);
      return undefined;
    };
    const { epoch } = theFarm();
    await adas.tryNow();
    // The first push was answered with a reset; all went in under the new epoch, before the first pull.
    expect([heads[0], theFarm().epoch === epoch]).toEqual([taken + 2, false]);
  });

  test("begins one new epoch for all phones", async () => {
    await overtaken();
    await adas.tryNow();
    const { epoch } = theFarm();
    for (const sync of [bos, adas, bos]) await sync.tryNow();
    expect(theFarm().epoch).toBe(epoch);
  });

  test("is noticed by a phone that was answered but had not read on", async () => {
    await farmOf(adas).save([aSupplier(EARLY)]);
    await adas.tryNow();
    const backup = theFarm().backup();
    await farmOf(adas).save([aSupplier(ADAS)]);
    ada.fault = ({ path }) =>
      path === "/api/sync/pull" ? NO_SERVER({} as Wanted, () => new Response()) : undefined;
    await adas.tryNow();
    ada.fault = () => undefined;
    server.restore(theFarm(), backup, "swap");
    await bos.tryNow();
    await adas.tryNow();
    expect(theFarm().rows.has(ADAS)).toBe(true);
  });
});

describe("a phone that hears of another history", () => {
  const lose = async () => {
    await farmOf(adas).save([aPick()]);
    await adas.tryNow();
    server.restore(theFarm(), JSON.stringify({ seq: 0, rows: [], receipts: [], pictures: [] }));
    // The line breaks right after the phone has heard.
    ada.fault = ({ path }) =>
      path === "/api/session" ? undefined : NO_SERVER({} as Wanted, () => new Response());
    await adas.tryNow();
  };

  test("forgets what it has read", async () => {
    await lose();
    expect((await onDisk(ada)).confirmed).toEqual([]);
  });

  test("starts to read from the beginning, under the new epoch", async () => {
    await lose();
    expect(farmOf(adas).progress).toMatchObject({ epoch: theFarm().epoch, cursor: 0, checkpoint: 0 });
  });

  test("puts its sent changes back in front, under the same ids and in their order", async () => {
    await farmOf(adas).save([aSupplier(EARLY)]);
    await lose();
    await farmOf(adas).save([aSupplier(ADAS)]);
    const waiting = farmOf(adas).outbox.value;
    expect(waiting.map(({ row }) => row)).toEqual([EARLY, PICK, ADAS]);
    expect(waiting.slice(0, 2).map(({ id }) => id)).toEqual(theFarm().applied.map(({ id }) => id));
  });

  test("counts no base from the history that is gone", async () => {
    await farmOf(adas).save([aPick()]);
    await adas.tryNow();
    await farmOf(adas).save([{ verb: "patch", kind: "pick", id: PICK, fields: { note: "later" } }]);
    await farmOf(adas).reset("00000000-0000-7000-8000-0000000000e2");
    expect(farmOf(adas).outbox.value.map(({ base }) => base)).toEqual([0, 0]);
  });

  test("keeps its own records in sight", async () => {
    await lose();
    expect(farmOf(adas).rows.value.get(PICK)?.fields).toEqual(pickFields());
  });

  test("keeps another's record in sight that an unsent change of its own stands on", async () => {
    await farmOf(bos).save([aPick()]);
    await bos.tryNow();
    await adas.tryNow();
    await farmOf(adas).save([{ verb: "patch", kind: "pick", id: PICK, fields: { note: "mine" } }]);
    await farmOf(adas).reset("00000000-0000-7000-8000-0000000000e2");
    expect(farmOf(adas).rows.value.get(PICK)?.fields).toEqual(pickFields({ note: "mine" }));
  });

  test("lets such a record go when the change was set aside", async () => {
    await farmOf(bos).save([aPick()]);
    await bos.tryNow();
    await adas.tryNow();
    await farmOf(adas).save([{ verb: "patch", kind: "pick", id: PICK, fields: { note: "mine" } }]);
    server.restore(theFarm(), JSON.stringify({ seq: 0, rows: [], receipts: [], pictures: [] }));
    for (const _ of [1, 2, 3, 4]) await adas.tryNow();
    expect([farmOf(adas).rows.value.has(PICK), farmOf(adas).parked.value.length]).toEqual([false, 1]);
  });

  test("keeps refused changes refused", async () => {
    await farmOf(adas).save([aPick(PICK, { wet_g: 0 })]);
    await adas.tryNow();
    await farmOf(adas).reset("00000000-0000-7000-8000-0000000000e2");
    expect(farmOf(adas).parked.value).toHaveLength(1);
  });

  test("takes no acknowledgement that was given under the old one", async () => {
    await farmOf(adas).save([aPick()]);
    const { id } = farmOf(adas).outbox.value[0]!;
    const { epoch } = farmOf(adas).progress;
    await farmOf(adas).reset("00000000-0000-7000-8000-0000000000e2");
    await farmOf(adas).acknowledge(epoch, [
      { id, status: "applied", seq: 1, code: null, message: null, field: null, lost: [] },
    ]);
    expect(farmOf(adas).outbox.value).toHaveLength(1);
  });

  test("gives up on a server that begins again without end", async () => {
    let epochs = 0;
    ada.fault = ({ path }) => {
      if (path === "/api/sync/pull")
        theFarm().epoch = `00000000-0000-7000-8000-00000000e${String(epochs++).padStart(3, "0")}` as Id;
      return undefined;
    };
    await adas.tryNow();
    expect([adas.pass.value.trouble, epochs]).toEqual(["server is ill", 4]);
  });
});

test("cursor and checkpoint never fall within an epoch", async () => {
  const seen: [epoch: string, cursor: number, checkpoint: number][] = [];
  const look = () => {
    const { epoch, cursor, checkpoint } = farmOf(adas).progress;
    seen.push([epoch, cursor, checkpoint]);
  };
  const stop = farmOf(adas).rows.subscribe(look);
  for (let round = 0; round < 6; round++) {
    await farmOf(bos).save(ids(300, round * 300).map((id) => aSupplier(id)));
    await bos.tryNow();
    await adas.tryNow();
    look();
  }
  stop();
  const falls = seen.filter(([epoch, cursor, checkpoint], at) => {
    const [before, cursorBefore, checkpointBefore] = seen[at - 1] ?? ["", 0, 0];
    return (
      epoch === before && (cursor < cursorBefore || checkpoint < checkpointBefore || checkpoint > cursor)
    );
  });
  expect([falls, seen.at(-1)?.slice(1)]).toEqual([[], [1800, 1800]]);
});
