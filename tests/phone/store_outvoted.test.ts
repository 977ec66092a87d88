/** Values of this person that another phone's later ones outlived: told until they are put away. */
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { Farm, Late } from "../../static/src/store";
import type { PhoneSync } from "../../static/src/sync";
import { aPick, aSupplier, ids, PICK } from "./cast";
import { elsewhere, FakePhone, NO_SERVER, opened } from "./fake_phone";
import { FakeServer } from "./fake_server";

const SUPPLIER = ids(1)[0]!;
let phone: FakePhone;
let sync: PhoneSync;
let farm: Farm;

beforeEach(async () => {
  const server = new FakeServer();
  phone = new FakePhone(server, "shed", server.addPerson(server.addFarm("Nordhang"), "Ada"));
  ({ sync, farm } = await opened(phone));
  await farm.save([aSupplier(SUPPLIER, { note: "old" }), aPick()]);
  await sync.tryNow();
});

afterEach(() => sync.stop());

const note = (text: string) =>
  ({ verb: "patch", kind: "supplier", id: SUPPLIER, fields: { note: text } }) as const;

/** Both wrote with the same row in sight; the other phone later, and it sent first. */
async function outvoted(): Promise<void> {
  await farm.save([note("mine, earlier")]);
  await elsewhere(phone, (their) => their.save([note("theirs, later")]));
  await sync.tryNow();
}

async function reopened(): Promise<Farm> {
  sync.stop();
  ({ sync, farm } = await opened(phone));
  return farm;
}

describe("a value that another phone's later one outlived", () => {
  test("is told with its record, what was written in which fields, and when", async () => {
    await farm.save([note("mine, earlier")]);
    const { at } = farm.outbox.value[0]!;
    await elsewhere(phone, (their) => their.save([note("theirs, later")]));
    await sync.tryNow();
    expect(farm.outvoted.value).toEqual([
      { row: SUPPLIER, kind: "supplier", fields: ["note"], mine: { note: "mine, earlier" }, seq: 4, at },
    ]);
    expect(farm.rows.value.get(SUPPLIER)?.fields).toMatchObject({ note: "theirs, later" });
  });

  test("is told still when the app is opened again", async () => {
    await outvoted();
    const kept = (await reopened()).outvoted.value;
    expect(kept).toMatchObject([{ row: SUPPLIER, mine: { note: "mine, earlier" } }]);
  });

  test("is not shown as sent while the other one has not arrived here", async () => {
    await farm.save([note("mine, earlier")]);
    await elsewhere(phone, (their) => their.save([note("theirs, later")]));
    phone.fault = (wanted, through) =>
      wanted.path === "/api/sync/pull" ? NO_SERVER(wanted, through) : undefined;
    await sync.tryNow();
    const row = farm.rows.value.get(SUPPLIER);
    expect(row?.fields).toMatchObject({ note: "old" });
    expect(row?.seq).toBeLessThan(farm.outvoted.value[0]?.seq ?? 0); // so it can be said that it is not known yet
  });

  test("is told no more once the person has seen it, for good", async () => {
    await outvoted();
    await farm.seen(SUPPLIER);
    expect(farm.outvoted.value).toEqual([]);
    expect((await reopened()).outvoted.value).toEqual([]);
  });

  test("is not told again by an answer that is heard twice", async () => {
    await outvoted();
    const [entry] = [{ lost: ["note"], seq: 9 }];
    await farm.save([note("mine again")]);
    const { id } = farm.outbox.value[0]!;
    const result = { id, status: "applied" as const, code: null, message: null, field: null, ...entry! };
    await farm.acknowledge(farm.progress.epoch, [result]);
    await farm.seen(SUPPLIER);
    await farm.acknowledge(farm.progress.epoch, [result]);
    expect(farm.outvoted.value).toEqual([]);
  });

  test("is told together with others of its record", async () => {
    await farm.save([note("mine, earlier")]);
    await farm.save([{ verb: "patch", kind: "supplier", id: SUPPLIER, fields: { contact: "mine" } }]);
    await elsewhere(phone, (their) =>
      their.save([
        { verb: "patch", kind: "supplier", id: SUPPLIER, fields: { note: "theirs", contact: "theirs" } },
      ]),
    );
    await sync.tryNow();
    expect(farm.outvoted.value).toMatchObject([
      { row: SUPPLIER, fields: ["note", "contact"], mine: { note: "mine, earlier", contact: "mine" } },
    ]);
  });

  test("is told of all that belongs together", async () => {
    const pick = (fields: object) => ({ verb: "patch", kind: "pick", id: PICK, fields }) as const;
    await farm.save([pick({ wet_g: 350, typed: "350 g" })]);
    await elsewhere(phone, (their) => their.save([pick({ wet_g: 500, typed: "500 g" })]));
    await sync.tryNow();
    expect(farm.outvoted.value).toMatchObject([
      { row: PICK, fields: ["wet_g", "typed"], mine: { wet_g: 350, typed: "350 g" } },
    ]);
  });

  test("is told until the person's own value has been taken by the server, and no longer", async () => {
    await outvoted();
    await farm.save([note("mine, earlier")]);
    expect(farm.outvoted.value).toHaveLength(1);
    await sync.tryNow();
    expect(farm.outvoted.value).toEqual([]);
    expect(farm.rows.value.get(SUPPLIER)?.fields).toMatchObject({ note: "mine, earlier" });
  });

  test("stays told when its writer has written another field meanwhile", async () => {
    await outvoted();
    const { at } = farm.outvoted.value[0]!;
    await farm.save([{ verb: "patch", kind: "supplier", id: SUPPLIER, fields: { contact: "Bo" } }]);
    await sync.tryNow();
    expect(farm.outvoted.value).toMatchObject([{ fields: ["note"], mine: { note: "mine, earlier" }, at }]);
  });

  test("gives way in the telling to the one that its writer lost after it", async () => {
    await outvoted();
    await farm.save([note("mine, once more")]);
    await elsewhere(phone, (their) => their.save([note("theirs, once more")]));
    await sync.tryNow();
    expect(farm.outvoted.value).toMatchObject([{ fields: ["note"], mine: { note: "mine, once more" } }]);
  });

  test("that was empty is kept as empty", async () => {
    await farm.save([note("")]);
    await elsewhere(phone, (their) => their.save([note("theirs, later")]));
    await sync.tryNow();
    expect(farm.outvoted.value).toMatchObject([{ mine: { note: "" } }]);
  });

  test("is put away on all pages of the phone", async () => {
    await outvoted();
    const other = await phone.farm();
    await farm.seen(SUPPLIER);
    await vi.waitFor(() => expect(other.outvoted.value).toEqual([]));
    other.close();
  });
});

describe("a value that stood and was then replaced by somebody who had not seen it", () => {
  const late: Late = {
    kind: "supplier",
    row: SUPPLIER,
    seq: 9,
    at: "2026-05-03T07:50:00Z",
    fields: { note: "mine" },
  };

  async function page(fields: object = {}): Promise<void> {
    const { epoch, cursor } = farm.progress;
    await farm.takePage({
      epoch,
      since: cursor,
      rows: [],
      upto: 9,
      more: false,
      outvoted: [late],
      ...fields,
    });
  }

  test("is told when the page that says so has come", async () => {
    await page();
    expect(farm.outvoted.value).toEqual([
      { row: SUPPLIER, kind: "supplier", fields: ["note"], mine: { note: "mine" }, seq: 9, at: late.at },
    ]);
  });

  test("is told beside what its writer had lost before", async () => {
    await outvoted();
    await page({ outvoted: [{ ...late, fields: { contact: "Bo" } }] });
    expect(farm.outvoted.value).toMatchObject([
      { fields: ["note", "contact"], mine: { note: "mine, earlier", contact: "Bo" } },
    ]);
  });

  test("is told no more once its writer has written it again", async () => {
    await page();
    await farm.save([note("mine again")]);
    await sync.tryNow();
    expect(farm.outvoted.value).toEqual([]);
  });

  test("is not told again while the farm is read from the start", async () => {
    await farm.reset("another epoch");
    await page({ upto: 4, more: true });
    await page();
    expect(farm.outvoted.value).toEqual([]);
  });
});

test("a change that nobody contradicted is told of nowhere", async () => {
  await farm.save([note("mine alone")]);
  await sync.tryNow();
  expect(farm.outvoted.value).toEqual([]);
});
