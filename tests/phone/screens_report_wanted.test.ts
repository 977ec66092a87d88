/** What a yield report is asked for with. */
import { describe, expect, test } from "vitest";
import {
  ALL,
  deliveriesOf,
  errandFor,
  MOST_PHOTOS,
  photosOf,
  type Wanted,
  wrongWith,
} from "../../static/src/screens/suppliers/report_wanted";
import { block, DELIVERY, farmOf, happening, photo, row, SUPPLIER } from "./farm_cast";

const wanted = (more: Partial<Wanted>): Wanted => ({ ...ALL, ...more });
const delivery = (id: string, received: string, supplier = SUPPLIER) =>
  row("delivery", id, {
    supplier,
    lot: "",
    received,
    price: null,
    currency: "",
    stored_c: null,
    count: 1,
    note: "",
  });
const body = (more: Partial<Wanted>, shown = ["d1", "d2"], photos: string[] = []) =>
  errandFor("r", SUPPLIER, wanted(more), shown, photos).body;

describe("the deliveries to choose from", () => {
  const farm = farmOf(
    delivery("d1", "2026-03-01"),
    delivery("d2", "2026-05-01"),
    delivery("x", "2026-04-01", "other"),
  );

  test("are this supplier's, the latest first", () => {
    expect(deliveriesOf(farm, SUPPLIER, ALL).map(({ id }) => id)).toEqual(["d2", DELIVERY, "d1"]);
  });

  test("arrived within the days, both included", () => {
    const days = wanted({ since: "2026-03-01", until: "2026-04-01" });
    expect(deliveriesOf(farm, SUPPLIER, days).map(({ id }) => id)).toEqual([DELIVERY, "d1"]);
  });
});

describe("the photos to choose from", () => {
  const sick = block({ label: "S1CKX" });
  const farm = farmOf(
    sick,
    { ...block(), id: "well" },
    happening("h", "contamination", "2026-04-20T08:00:00Z", { contamination: "green_mould" }),
    photo("later", "ready", "2026-05-02T08:00:00Z", { block: "well" }),
    photo("of the sick", "pins", "2026-04-10T08:00:00Z"),
    photo("trouble", "trouble", "2026-04-12T08:00:00Z", { block: "well" }),
    photo("earlier", "pins", "2026-04-02T08:00:00Z", { block: "well" }),
  );

  test("begin with trouble, then contaminated blocks, then the latest", () => {
    const shots = photosOf(farm, new Set([DELIVERY]));
    expect(shots.map((shot) => shot.photo.id)).toEqual(["trouble", "of the sick", "later", "earlier"]);
    expect(shots.map((shot) => shot.trouble)).toEqual([true, true, false, false]);
  });

  test("are of the chosen deliveries only", () => {
    expect(photosOf(farm, new Set(["another"]))).toEqual([]);
  });

  test("are not ticked from the start", () => {
    expect(ALL.photos.size).toBe(0);
  });
});

describe("what is asked for", () => {
  test("names no delivery while none is left out", () => {
    expect(body({})).toMatchObject({ deliveries: [], since: null, until: null, photos: [] });
  });

  test("names the others once one is left out", () => {
    expect(body({ without: new Set(["d1"]) }).deliveries).toEqual(["d2"]);
  });

  test("leaves out a ticked photo whose delivery was unticked again", () => {
    expect(body({ photos: new Set(["gone", "kept"]) }, ["d1"], ["kept"]).photos).toEqual(["kept"]);
  });

  test("carries the errand's own id, so that a repeat is known", () => {
    const errand = errandFor("r", SUPPLIER, ALL, [], []);
    expect([errand.id, errand.body.id]).toEqual(["r", "r"]);
  });
});

describe("what is wrong", () => {
  test("with nothing ticked", () => {
    expect(wrongWith(ALL, 0, 0)).toBe("Tick at least one delivery.");
  });

  test("with days that run backwards, said with both", () => {
    expect(wrongWith(wanted({ since: "2026-05-02", until: "2026-05-01" }), 1, 0)).toBe(
      "2026-05-02 comes after 2026-05-01: swap the days.",
    );
  });

  test("with too many photos, said with how many to untick", () => {
    expect(wrongWith(ALL, 1, MOST_PHOTOS + 3)).toContain("Untick 3.");
  });

  test("is nothing otherwise", () => {
    expect(wrongWith(ALL, 2, MOST_PHOTOS)).toBe("");
  });
});
