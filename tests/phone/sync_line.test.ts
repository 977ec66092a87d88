/** Slow lines: what does not get through in its time is asked for in smaller pieces. */
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Farm } from "../../static/src/store";
import type { PhoneSync } from "../../static/src/sync";
import { aSupplier, ids } from "./cast";
import type { FakeFarm } from "./fake_farm";
import { elsewhere, FakePhone, type Fault, NO_SERVER, opened, shown } from "./fake_phone";
import { FakeServer } from "./fake_server";

let home: FakeFarm;
let phone: FakePhone;
let sync: PhoneSync;
let farm: Farm;

beforeEach(async () => {
  const server = new FakeServer();
  home = server.addFarm("Nordhang");
  phone = new FakePhone(server, "shed", server.addPerson(home, "Ada"));
  ({ sync, farm } = await opened(phone));
  phone.calls.length = 0;
});

afterEach(() => sync.stop());

/** A line that carries so many bytes in the time a call has; a call with more has no answer, nor an effect. */
function carrying(bytes: number): Fault {
  return (wanted, through) => {
    if (!wanted.path.startsWith("/api/sync")) return undefined;
    if (wanted.method === "POST" && sizeOf(wanted.body) > bytes) return NO_SERVER(wanted, through);
    if (wanted.method === "POST") return undefined;
    return through()
      .text()
      .then((text) => {
        if (text.length > bytes) throw new TypeError("Failed to fetch");
        return new Response(text, { headers: { "Content-Type": "application/json" } });
      });
  };
}

const sizeOf = (body: unknown) => JSON.stringify(body).length;
const pushes = () =>
  phone.calls.filter(({ path }) => path === "/api/sync/push").map(({ body }) => sizeOf(body));
const limits = () =>
  phone.calls.filter(({ path }) => path === "/api/sync/pull").map(({ query }) => Number(query.get("limit")));

async function passes(count: number): Promise<void> {
  for (let pass = 0; pass < count; pass++) await sync.tryNow();
}

describe("a full outbox", () => {
  const all = ids(150);
  beforeEach(() => farm.save(all.map((id) => aSupplier(id, { note: "x".repeat(1900) }))));

  test("goes in batches of about 64 kB", async () => {
    await sync.tryNow();
    expect(Math.max(...pushes())).toBeLessThan(66_000);
    expect(pushes()).toHaveLength(5);
  });

  test("gets through a line that carries 100 kB in the time of a call at the first try", async () => {
    phone.fault = carrying(100_000);
    await sync.tryNow();
    expect(home.rows.size).toBe(150);
  });

  test("gets through one that carries 10 kB after a few", async () => {
    phone.fault = carrying(10_000);
    await passes(6);
    expect([home.rows.size, farm.outbox.value.length]).toEqual([150, 0]);
  });

  test("gets through one that carries a single change, and no less", async () => {
    phone.fault = carrying(2_600);
    await passes(10);
    expect([home.rows.size, farm.outbox.value.length]).toEqual([150, 0]);
  });

  test("goes in larger batches again when the line is a better one", async () => {
    phone.fault = carrying(10_000);
    await passes(6);
    phone.fault = null;
    await passes(4);
    phone.calls.length = 0;
    await farm.save(ids(60, 500).map((id) => aSupplier(id, { note: "x".repeat(1900) })));
    await sync.tryNow();
    expect(Math.max(...pushes())).toBeGreaterThan(60_000);
  });
});

test("a farm of many rows is read over a slow line in shorter pages", async () => {
  await elsewhere(phone, async (their) => their.save(ids(600).map((id) => aSupplier(id))));
  phone.fault = carrying(20_000);
  await passes(8);
  expect(shown(farm)).toBe(home.canonical());
  expect(limits().slice(0, 3)).toEqual([500, 250, 125]);
});

test("a phone with no server in reach asks for no less when there is one", async () => {
  phone.fault = NO_SERVER;
  await passes(5);
  phone.fault = null;
  phone.calls.length = 0;
  await sync.tryNow();
  expect(limits()).toEqual([500]);
});
