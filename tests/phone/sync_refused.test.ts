import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Id } from "../../static/src/records/types";
import type { Farm } from "../../static/src/store";
import type { PhoneSync } from "../../static/src/sync";
import { aBlock, aPick, aSupplier, BLOCK, ids, PICK } from "./cast";
import { elsewhere, FakePhone, json, onDisk, opened } from "./fake_phone";
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

describe("a refused change", () => {
  async function refused(): Promise<void> {
    await farm.save([aPick(PICK, { wet_g: 0 }), aBlock()]);
    await sync.tryNow();
  }

  test("is set aside with the server's words and field", async () => {
    await refused();
    expect(farm.parked.value[0]).toMatchObject({
      code: "not_acceptable",
      field: "wet_g",
      message: "Not taken: not_acceptable.",
    });
  });

  test("does not hold up what comes after it", async () => {
    await refused();
    expect(theFarm().rows.has(BLOCK)).toBe(true);
  });

  test("takes no part in what is shown", async () => {
    await refused();
    expect(farm.rows.value.has(PICK)).toBe(false);
  });

  test("is in sight from the save to the refusal", async () => {
    const seen: boolean[] = [];
    const stop = farm.rows.subscribe((rows) => seen.push(rows.has(PICK)));
    await farm.save([aPick(PICK, { wet_g: 0 })]);
    await sync.tryNow();
    stop();
    expect(seen.join()).toMatch(/^false(,true)+(,false)+$/);
  });

  test("is sent again as a new change, with what was put right", async () => {
    await refused();
    const { id } = farm.parked.value[0]!.op;
    await farm.resend(id, { wet_g: 310 });
    await sync.tryNow();
    expect(theFarm().rows.get(PICK)?.fields).toMatchObject({ wet_g: 310 });
    expect(farm.parked.value).toEqual([]);
  });

  test("sent again keeps its place before the changes that were made upon it", async () => {
    await farm.save([aPick(PICK, { wet_g: 0 })]);
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { note: "upon it" } }]);
    await sync.tryNow();
    await farm.resend(farm.parked.value[0]!.op.id, { wet_g: 310 });
    await sync.tryNow();
    expect(theFarm().rows.get(PICK)?.fields).toMatchObject({ wet_g: 310, note: "upon it" });
  });

  test("sent again is based on the row as it is confirmed then", async () => {
    await farm.save([aPick()]);
    await sync.tryNow();
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { wet_g: -1 } }]);
    await sync.tryNow();
    await elsewhere(phone, async (their) =>
      their.save([{ verb: "patch", kind: "pick", id: PICK, fields: { note: "theirs" } }]),
    );
    await sync.tryNow();
    await farm.resend(farm.parked.value[0]!.op.id, { wet_g: 310 });
    expect(farm.outbox.value[0]?.base).toBe(2);
  });

  test("is gone when it is given up", async () => {
    await refused();
    await farm.discard(farm.parked.value[0]!.op.id);
    expect((await onDisk(phone)).parked).toEqual([]);
  });

  test("of a row that is shown marks the row as needing attention", async () => {
    await farm.save([aPick()]);
    await sync.tryNow();
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { wet_g: -1 } }]);
    await sync.tryNow();
    expect(farm.rows.value.get(PICK)).toMatchObject({ where: "needs attention", fields: { wet_g: 340 } });
  });
});

describe("a change of a row the server does not know", () => {
  const LOST = ids(1, 900)[0]!;
  let lost: ReturnType<typeof theFarm>["rows"] extends Map<Id, infer Row> ? Row : never;

  /** A row this phone has read, and the server has lost without a word. */
  async function patchOfLostRow(): Promise<void> {
    await elsewhere(phone, async (their) => their.save([aSupplier(LOST)]));
    await sync.tryNow();
    lost = theFarm().rows.get(LOST)!;
    theFarm().rows.delete(LOST);
    await farm.save([{ verb: "patch", kind: "supplier", id: LOST, fields: { note: "of what?" } }, aBlock()]);
  }

  test("does not hold up other rows' changes", async () => {
    await patchOfLostRow();
    await sync.tryNow();
    expect(theFarm().rows.has(BLOCK)).toBe(true);
  });

  test("waits for three passes, and is then set aside with words", async () => {
    await patchOfLostRow();
    const parked: number[] = [];
    for (const _ of [1, 2, 3]) {
      await sync.tryNow();
      parked.push(farm.parked.value.length);
    }
    expect(parked).toEqual([0, 0, 1]);
    expect(farm.parked.value[0]?.message).toMatch(/not on the server/);
  });

  test("goes by itself when the row turns up after all", async () => {
    await patchOfLostRow();
    for (const _ of [1, 2, 3]) await sync.tryNow();
    const seq = ++theFarm().seq;
    theFarm().rows.set(LOST, { ...lost, seq });
    await sync.tryNow();
    await sync.tryNow();
    expect(theFarm().rows.get(LOST)?.fields).toMatchObject({ note: "of what?" });
  });
});

test("a busy server ends the sending, and the next pass goes on from there", async () => {
  const [first, second] = ids(2) as [Id, Id];
  await farm.save([aSupplier(first), aSupplier(second)]);
  let busy = true;
  phone.fault = ({ path, body }) => {
    if (path !== "/api/sync/push" || !busy) return undefined;
    busy = false;
    const { epoch, ops } = body as { epoch: Id; ops: { id: Id }[] };
    const results = [
      {
        id: ops[0]!.id,
        status: "retry",
        seq: null,
        code: "busy",
        message: null,
        field: null,
        lost_fields: [],
      },
    ];
    return json(200, { epoch, server_time: server.now().toISOString(), results });
  };
  await sync.tryNow();
  expect(theFarm().rows.size).toBe(0);
  await sync.tryNow();
  expect([...theFarm().rows.keys()]).toEqual([first, second]);
});

test("one change the server cannot read is set aside, and the others go", async () => {
  const all = ids(7);
  await farm.save(all.map((id, at) => aSupplier(id, { name: at === 4 ? "\u0000" : "Weidenhof" })));
  phone.fault = ({ path, body }) =>
    path === "/api/sync/push" && JSON.stringify(body).includes("\\u0000")
      ? json(422, { code: "invalid", message: "name: takes no control character.", errors: [] })
      : undefined;
  await sync.tryNow();
  expect(farm.parked.value.map(({ op, message }) => [op.row, message])).toEqual([
    [all[4], "name: takes no control character."],
  ]);
  expect(theFarm().rows.size).toBe(6);
});
