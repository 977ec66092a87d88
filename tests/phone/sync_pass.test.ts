import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Id } from "../../static/src/records/types";
import type { Farm } from "../../static/src/store";
import type { PhoneSync } from "../../static/src/sync";
import { aBlock, aPick, aSupplier, BLOCK, ids, PICK, pickFields } from "./cast";
import { elsewhere, FakePhone, json, NO_SERVER, onDisk, opened, shown } from "./fake_phone";
import { FakeServer, type Wanted } from "./fake_server";

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
const pushes = () => phone.calls.filter(({ path }) => path === "/api/sync/push");
const opsOf = ({ body }: Wanted) => (body as { ops: { id: Id; row: Id }[] }).ops;

describe("a pass", () => {
  test("brings what was saved to the server", async () => {
    await farm.save([aPick()]);
    await sync.tryNow();
    expect(theFarm().rows.get(PICK)?.fields).toEqual(pickFields());
  });

  test("shows the record as sent", async () => {
    await farm.save([aPick()]);
    await sync.tryNow();
    expect(farm.rows.value.get(PICK)).toMatchObject({ where: "sent", seq: 1 });
  });

  test("leaves nothing in the outbox", async () => {
    await farm.save([aPick()]);
    await sync.tryNow();
    expect(farm.outbox.value).toEqual([]);
  });

  test("keeps what was confirmed on the shelf for thirty days", async () => {
    await farm.save([aPick()]);
    await sync.tryNow();
    const days = ((await onDisk(phone)).sent[0]!.until - server.time) / 86_400_000;
    expect(days).toBeCloseTo(30, 2);
  });

  test("clears from the shelf what has stood there for thirty days", async () => {
    await farm.save([aPick()]);
    await sync.tryNow();
    server.time += 31 * 86_400_000;
    await sync.tryNow();
    expect((await onDisk(phone)).sent).toEqual([]);
  });

  test("brings what another phone saved", async () => {
    await elsewhere(phone, async (their) => their.save([aPick(), aBlock()]));
    await sync.tryNow();
    expect([...farm.rows.value.keys()].sort()).toEqual([PICK, BLOCK].sort());
  });

  test("that finds nothing new has no screen drawn again", async () => {
    await farm.save([aPick()]);
    await sync.tryNow();
    const shownBefore = [farm.rows.value, farm.outbox.value, farm.parked.value];
    await sync.tryNow();
    expect(
      [farm.rows.value, farm.outbox.value, farm.parked.value].map((now, at) => now === shownBefore[at]),
    ).toEqual([true, true, true]);
  });

  test("sends at most a hundred changes at a time, in the order they were made", async () => {
    const all = ids(230);
    await farm.save(all.map((id) => aSupplier(id)));
    await sync.tryNow();
    expect(pushes().map((push) => opsOf(push).length)).toEqual([100, 100, 30]);
    expect(pushes().flatMap((push) => opsOf(push).map(({ row }) => row))).toEqual(all);
  });

  test("sends at most 256 kB at a time", async () => {
    await farm.save(ids(90).map((id) => aSupplier(id, { note: "ü".repeat(2000) })));
    await sync.tryNow();
    const sizes = pushes().map(({ body }) => new TextEncoder().encode(JSON.stringify(body)).length);
    expect(Math.max(...sizes)).toBeLessThan(256_000);
    expect(theFarm().rows.size).toBe(90);
  });

  test("sends nothing again that was acknowledged but is not confirmed yet", async () => {
    phone.fault = ({ path }) =>
      path === "/api/sync/pull" ? NO_SERVER({} as Wanted, () => json(200, {})) : undefined;
    await farm.save([aPick()]);
    await sync.tryNow();
    await sync.tryNow();
    expect(pushes()).toHaveLength(1);
  });

  test("keeps an acknowledged change in sight until it is confirmed", async () => {
    phone.fault = ({ path }) =>
      path === "/api/sync/pull" ? NO_SERVER({} as Wanted, () => json(200, {})) : undefined;
    await farm.save([aPick()]);
    await sync.tryNow();
    expect(farm.rows.value.get(PICK)?.fields).toEqual(pickFields());
  });

  test("reads many rows page by page, to the last", async () => {
    await elsewhere(phone, async (their) => their.save(ids(1234).map((id) => aSupplier(id))));
    await sync.tryNow();
    expect(shown(farm)).toBe(theFarm().canonical());
    expect(phone.calls.filter(({ path }) => path === "/api/sync/pull")).toHaveLength(3);
  });

  test("goes on where an earlier one was cut off, without reading a page twice", async () => {
    await elsewhere(phone, async (their) => their.save(ids(1234).map((id) => aSupplier(id))));
    let pages = 0;
    phone.fault = ({ path }) => {
      if (path === "/api/sync/pull" && ++pages === 2) return NO_SERVER({} as Wanted, () => json(200, {}));
      return undefined;
    };
    await sync.tryNow();
    await sync.tryNow();
    const since = phone.calls
      .filter(({ path }) => path === "/api/sync/pull")
      .map(({ query }) => query.get("since"));
    expect(since.slice(0, 3)).toEqual(["0", "500", "500"]);
    expect(shown(farm)).toBe(theFarm().canonical());
  });
});

describe("the outbox", () => {
  test("is not emptied by a page's cursor, for the row may have moved to a later page", async () => {
    await farm.save([aPick()]);
    const op = farm.outbox.value[0]!;
    const { epoch } = farm.progress;
    await farm.acknowledge(epoch, [
      { id: op.id, status: "applied", seq: 1, code: null, message: null, field: null, lost: [] },
    ]);
    await farm.takePage({ epoch, since: 0, rows: [], upto: 5, more: true });
    expect(farm.rows.value.get(PICK)?.fields).toEqual(pickFields());
    expect((await onDisk(phone)).outbox).toHaveLength(1);
  });

  test("is emptied up to the checkpoint only", async () => {
    const [first, second] = ids(2) as [Id, Id];
    await farm.save([aSupplier(first), aSupplier(second)]);
    const { epoch } = farm.progress;
    const acks = farm.outbox.value.map(({ id }, at) => ({
      id,
      status: "applied" as const,
      seq: at + 1,
      code: null,
      message: null,
      field: null,
      lost: [],
    }));
    await farm.acknowledge(epoch, acks);
    await farm.takePage({ epoch, since: 0, rows: [], upto: 1, more: false });
    expect((await onDisk(phone)).outbox.map(({ op }) => op.row)).toEqual([second]);
  });
});

test("rows of a kind this release does not know are kept, but not shown", async () => {
  const row = {
    kind: "drying_run",
    id: ids(1)[0]!,
    seq: 1,
    deleted: false,
    author: null,
    fields: { method: "warm air" },
  };
  Object.assign(theFarm(), { seq: 1 });
  theFarm().rows.set(row.id, { ...row, stamps: {}, deletedSeq: 0, deletedDevice: null } as never);
  await sync.tryNow();
  expect(farm.rows.value.size).toBe(0);
  expect((await onDisk(phone)).confirmed).toMatchObject([
    { kind: "drying_run", fields: { method: "warm air" } },
  ]);
});

test("the same change sent five times changes nothing after the first", async () => {
  phone.fault = ({ path }, through) => {
    if (path !== "/api/sync/push") return undefined;
    for (const _ of [1, 2, 3, 4]) through();
    return through();
  };
  await farm.save([aPick()]);
  await sync.tryNow();
  expect(theFarm().applied).toHaveLength(1);
});

test("a change whose answer was lost arrives once", async () => {
  let lost = false;
  phone.fault = ({ path }, through) => {
    if (path !== "/api/sync/push" || lost) return undefined;
    lost = true;
    through();
    throw new TypeError("Failed to fetch");
  };
  await farm.save([aPick()]);
  await sync.tryNow();
  await sync.tryNow();
  expect([theFarm().applied.length, farm.rows.value.get(PICK)?.where]).toEqual([1, "sent"]);
});
