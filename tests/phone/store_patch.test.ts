/** What a patch carries: what the person changed, with what belongs to it, and nothing that came in meanwhile. */
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { groupOf } from "../../static/src/records/types";
import type { Farm, Row, Seen } from "../../static/src/store";
import type { PhoneSync } from "../../static/src/sync";
import { aBlock, aPick, aSupplier, BLOCK, ids, PICK } from "./cast";
import { elsewhere, FakePhone, opened } from "./fake_phone";
import { FakeServer } from "./fake_server";

const SUPPLIER = ids(1)[0]!;
let server: FakeServer;
let phone: FakePhone;
let sync: PhoneSync;
let farm: Farm;

beforeEach(async () => {
  server = new FakeServer();
  phone = new FakePhone(server, "shed", server.addPerson(server.addFarm("Nordhang"), "Ada"));
  ({ sync, farm } = await opened(phone));
});

afterEach(() => sync.stop());

const onServer = (id: string) => server.farms.get(phone.person.farm)!.rows.get(id)?.fields;
const supplier = (fields: object, seen?: Row<"supplier">) =>
  ({ verb: "patch", kind: "supplier", id: SUPPLIER, fields, ...(seen && { seen }) }) as const;

/** A form that sends every field, as it was when it opened but for what was typed. */
function form(typed: object): () => Promise<void> {
  const seen = farm.rows.value.get(SUPPLIER) as Row<"supplier">;
  return () => farm.save([supplier({ ...seen.fields, ...typed }, seen)]);
}

describe("a form that stays open while a pass runs", () => {
  beforeEach(async () => {
    await farm.save([aSupplier(SUPPLIER, { note: "old" })]);
    await sync.tryNow();
  });

  async function theyWrite(fields: object): Promise<void> {
    await elsewhere(phone, (their) => their.save([supplier(fields)]));
    await sync.tryNow();
  }

  test("does not take back what another phone wrote meanwhile", async () => {
    const save = form({ contact: "0555 1234" });
    await theyWrite({ note: "lot 7 was mouldy" });
    await save();
    await sync.tryNow();
    expect(onServer(SUPPLIER)).toMatchObject({ note: "lot 7 was mouldy", contact: "0555 1234" });
  });

  test("sends only what was typed, based on the row as it was seen", async () => {
    const save = form({ contact: "0555 1234" });
    await theyWrite({ note: "lot 7 was mouldy" });
    await save();
    expect(farm.outbox.value).toMatchObject([{ base: 1, fields: { contact: "0555 1234" } }]);
  });

  test("changes nothing when nothing was typed", async () => {
    const save = form({});
    await theyWrite({ note: "lot 7 was mouldy" });
    await save();
    expect(farm.outbox.value).toEqual([]);
  });

  test("that typed what is there by now all the same says so", async () => {
    const save = form({ note: "mouldy" });
    await theyWrite({ note: "mouldy" });
    await save();
    expect(farm.outbox.value).toMatchObject([{ fields: { note: "mouldy" } }]);
  });

  test("has seen nothing of a history that began again", async () => {
    const seen = farm.rows.value.get(SUPPLIER) as Row<"supplier">;
    await farm.save([supplier({ name: "Weidenhof Süd" }, { ...seen, seq: 99 })]);
    expect(farm.outbox.value).toMatchObject([{ base: 0 }]);
  });
});

describe("fields that belong together", () => {
  test("are sent with one another when one of them changes", async () => {
    await farm.save([aPick()]);
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { wet_g: 350 } }]);
    expect(farm.outbox.value[1]?.fields).toEqual({ wet_g: 350, typed: "340 g" });
  });

  test("are sent as the form showed them, not as they came in meanwhile", async () => {
    await farm.save([aPick()]);
    await sync.tryNow();
    const seen = farm.rows.value.get(PICK) as Seen<"pick">;
    await elsewhere(phone, (their) =>
      their.save([{ verb: "patch", kind: "pick", id: PICK, fields: { wet_g: 500, typed: "500 g" } }]),
    );
    await sync.tryNow();
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { wet_g: 350 }, seen }]);
    expect(farm.outbox.value[0]?.fields).toEqual({ wet_g: 350, typed: "340 g" });
  });

  test("stay away when another field changes", async () => {
    await farm.save([aPick()]);
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { note: "second look" } }]);
    expect(farm.outbox.value[1]?.fields).toEqual({ note: "second look" });
  });

  test("of a row that is not shown are only those that were given", async () => {
    await farm.save([{ verb: "patch", kind: "pick", id: PICK, fields: { wet_g: 350 } }]);
    expect(farm.outbox.value[0]?.fields).toEqual({ wet_g: 350 });
  });

  test("are those of one phone in the end, never a half of each", async () => {
    await farm.save([aBlock(BLOCK, { dry_basis: "none", wet_g: 3000 })]);
    await sync.tryNow();
    const block = (fields: object) => ({ verb: "patch", kind: "block", id: BLOCK, fields }) as const;
    await farm.save([block({ dry_basis: "measured", moisture_pct: 62 })]);
    await elsewhere(phone, (their) => their.save([block({ dry_basis: "stated", dry_g: 1100, wet_g: null })]));
    await sync.tryNow();
    expect(onServer(BLOCK)).toMatchObject({
      dry_basis: "stated",
      dry_g: 1100,
      moisture_pct: null,
      wet_g: null,
    });
  });

  test("are told by kind", () => {
    expect([groupOf("pick", "typed"), groupOf("block", "wet_g").length, groupOf("supplier", "note")]).toEqual(
      [["wet_g", "typed"], 6, ["note"]],
    );
  });
});
