import { describe, expect, test } from "vitest";
import { block_figures } from "../../static/src/calc/figures";
import { block_state } from "../../static/src/calc/states";
import { grown, noted } from "../../static/src/records/farm_view";
import { block, farmOf, happening, photo, pick, row, SHED, viewOf } from "./farm_cast";

const day = (at: string) => at.slice(0, 10);

describe("a block joined with the rows around it", () => {
  test("knows its supplier through its delivery", () => {
    expect(viewOf().supplier?.fields.name).toBe("Hollow Oak");
  });

  test("has no supplier when its delivery has not arrived yet", () => {
    expect(viewOf(block({ delivery: "elsewhere" })).supplier).toBeUndefined();
  });

  test("stands where it was last moved to", () => {
    const moved = [
      happening("h2", "moved", "2026-04-09T08:00:00Z", { place: SHED }),
      happening("h1", "moved", "2026-04-03T08:00:00Z", { place: "p1" }),
    ];
    expect(viewOf(...moved).place?.fields.name).toBe("Shed");
  });

  test("is gone with its deletion, its picks no longer anybody's", () => {
    const farm = farmOf({ ...block(), deleted: true }, pick("k", "2026-04-20T08:00:00Z"));
    expect(farm.block.size).toBe(0);
  });

  test("sorts by time, not by how the time is written", () => {
    const early = pick("k1", "2026-04-20T08:00:00.500Z", { wet_g: 1 });
    const late = pick("k2", "2026-04-20T08:00:01Z", { wet_g: 2 });
    expect(viewOf(late, early).picks.map(({ id }) => id)).toEqual(["k1", "k2"]);
  });

  test("leaves out what belongs to other blocks", () => {
    const other = pick("k", "2026-04-20T08:00:00Z", { block: "another" });
    expect(viewOf(other).picks).toEqual([]);
  });
});

describe("what the calculations are given", () => {
  test("counts days from opening, in the grower's own calendar", () => {
    const view = viewOf(
      happening("h", "opened", "2026-04-02T23:30:00Z"),
      pick("k", "2026-04-14T06:00:00Z", { wet_g: 600 }),
    );
    const eastern = (at: string) => new Date(Date.parse(at) + 3_600_000).toISOString().slice(0, 10);
    expect(block_figures(grown(view, false, eastern)).days_to_first_harvest).toBe(11);
  });

  test("gives 200 g per kg wet for 600 g from 3 kg", () => {
    const view = viewOf(pick("k", "2026-04-14T06:00:00Z", { wet_g: 600 }));
    expect(block_figures(grown(view, false, day)).yield_g_per_kg_wet).toBe(200);
  });

  test("puts the wet mass into the basis only where moisture is known", () => {
    const stated = viewOf(block({ dry_basis: "stated", dry_g: 1200 }));
    const assumed = viewOf(block({ dry_basis: "assumed", moisture_low_pct: 60, moisture_high_pct: 70 }));
    expect(grown(stated, false, day).basis.wet_g).toBeNull();
    expect(grown(assumed, false, day).basis.wet_g).toBe(3000);
  });

  test("carries contamination whatever came after it", () => {
    const view = viewOf(
      happening("h", "contamination", "2026-04-05T08:00:00Z", { contamination: "cobweb" }),
      pick("k", "2026-04-14T06:00:00Z"),
    );
    expect(grown(view, false, day).contaminated).toBe(true);
  });

  test("makes a block soak until the planned end", () => {
    const view = viewOf(happening("h", "soaked", "2026-04-20T08:00:00Z", { until: "2026-04-20T20:00:00Z" }));
    const { happenings, picks, photos } = noted(view);
    const state = (at: string) => block_state(happenings, picks, photos, Date.parse(at));
    expect([state("2026-04-20T19:59:00Z"), state("2026-04-20T20:00:00Z")]).toEqual(["soaking", "resting"]);
  });

  test("makes a photo of pins a pinning block", () => {
    const { happenings, picks, photos } = noted(viewOf(photo("f", "pins", "2026-04-20T08:00:00Z")));
    expect(block_state(happenings, picks, photos, Date.parse("2026-04-21T08:00:00Z"))).toBe("pinning");
  });
});

test("a row of every kind is found by its id", () => {
  const farm = farmOf(
    block(),
    pick("k", "2026-04-20T08:00:00Z"),
    photo("f", "young", "2026-04-20T08:00:00Z"),
  );
  expect([farm.pick.has("k"), farm.photo.has("f"), farm.supplier.has("s")]).toEqual([true, true, true]);
});

test("a deleted row is found by nobody", () => {
  const gone = row("place", "p9", { name: "Gone", note: "" }, true);
  expect(farmOf(gone).place.has("p9")).toBe(false);
});
