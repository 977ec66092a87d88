import { beforeEach, expect, test, vi } from "vitest";
import type { Standing } from "../../static/src/records/farm_view";
import type { FieldsOf, Id, Kind } from "../../static/src/records/types";
import { written } from "../../static/src/screens/patch";
import { correctable, refusedPhotos } from "../../static/src/screens/refusals";
import { keep, said } from "../../static/src/screens/saving";
import type { Change, FarmStore, Parked } from "../../static/src/store/api";
import { sync } from "../../static/src/sync";
import { AROUND, block, photo, pick, row } from "./farm_cast";

vi.hoisted(() => vi.stubGlobal("location", { hash: "" }));

const PICK = pick("k", "2026-05-03T07:40:00Z");
const REFUSED = { ...PICK, refused: { op: "op1", message: "dried 50 g is above the 40 g picked" } };
const saved: Change[][] = [];
const resent: [Id, object | undefined][] = [];
const rows = new Map<Id, Standing>();
const pictures = new Map<string, string>();

beforeEach(() => {
  saved.length = 0;
  resent.length = 0;
  rows.clear();
  pictures.clear();
  for (const each of [...AROUND, block(), PICK]) rows.set(each.id, each);
  const store = {
    rows: { value: rows, peek: () => rows },
    refusedPictures: { value: pictures },
    save: async (changes: Change[]) => void saved.push(changes),
    resend: async (op: Id, fields?: object) => void resent.push([op, fields]),
  } as unknown as FarmStore;
  Object.assign(sync.door, { value: { server: null, who: null, store } });
});

function parked<K extends Kind>(kind: K, id: Id, fields: Partial<FieldsOf[K]>, more: object = {}): Parked {
  const op = { id: "op1", verb: "add", kind, row: id, base: 0, at: "2026-05-03T08:00:00Z", fields, ...more };
  const why = { code: "not_acceptable", message: "", field: null, since: "2026-05-03T08:00:00Z" };
  return { op, ...why } as Parked;
}

test("an undo takes back what the form changed, and nothing that came in beside it", async () => {
  const seen = row("place", "p1", { name: "Cellar", note: "" });
  rows.set("p1", row("place", "p1", { name: "Cellar", note: "from another phone" }));
  await keep([written("place", { name: "Vault", note: "" }, seen)], "Vault");
  await said.value?.undo?.();
  expect(saved[1]).toEqual([{ verb: "patch", kind: "place", id: "p1", fields: { name: "Cellar" } }]);
});

test("the form of a refused change sends that change again with what was corrected, and saves no other", async () => {
  const corrected = { ...PICK.fields, dry_g: 30, dry_typed: "30 g" };
  await keep([written("pick", corrected, REFUSED)], "", [], "refused/op1");
  expect(resent).toEqual([["op1", { dry_g: 30, dry_typed: "30 g" }]]);
  expect(saved).toEqual([[]]);
});

test("of fields that belong together the unchanged one goes along", async () => {
  await keep([written("pick", { ...PICK.fields, wet_g: 60 }, REFUSED)], "");
  expect(resent).toEqual([["op1", { wet_g: 60, typed: PICK.fields.typed }]]);
});

test("a refused record is corrected in its form, with the fields that were refused", () => {
  expect(correctable(parked("pick", "k2", PICK.fields))).toBe(true);
});

test.each<[string, Parked]>([
  ["a pick of a block that is not here", parked("pick", "k2", { ...PICK.fields, block: "elsewhere" })],
  ["a change this person may not make", { ...parked("pick", "k2", PICK.fields), code: "not_allowed" }],
  ["a deletion", parked("pick", "k", {}, { verb: "delete" })],
  ["a change of a record that is not here", parked("pick", "k9", { flush: 2 }, { verb: "patch" })],
  ["a photo", parked("photo", "f", {})],
])("%s has no form to correct it in", (_, refused) => {
  expect(correctable(refused)).toBe(false);
});

test("a photo of which only the thumbnail was refused is named once, with the server's words", () => {
  rows.set("f", photo("f", "young", "2026-05-03T08:00:00Z"));
  pictures.set("e".repeat(64), "This is no picture.");
  const fresh = new Map(rows);
  const { store } = sync.door.value;
  Object.assign(sync.door, {
    value: { ...sync.door.value, store: { ...store, rows: { value: fresh, peek: () => fresh } } },
  });
  expect(refusedPhotos().map(([{ id }, words]) => [id, words])).toEqual([["f", "This is no picture."]]);
});
