import { describe, expect, test } from "vitest";
import {
  BLANK_BLOCK,
  type BlockDraft,
  deliveryDraftOf,
  draftOf,
  firstPick,
  readBlock,
  readCount,
  readDelivery,
  unrounded,
} from "../../static/src/records/block_draft";
import { dayWords } from "../../static/src/screens/dates";
import { block, DELIVERY, farmOf, pick } from "./farm_cast";

function read(more: Partial<BlockDraft>) {
  return readBlock({ ...BLANK_BLOCK, variety: "v", ...more }, "kg");
}

describe("a block as written down", () => {
  test("takes a bare number in the grower's unit", () => {
    expect(read({ wet: "3" }).fields).toMatchObject({ wet_g: 3000 });
  });

  test("may be of unknown mass when its dry basis needs none", () => {
    expect(read({ wet: "" }).fields).toMatchObject({ wet_g: null, dry_basis: "none" });
  });

  test("needs its wet mass once moisture is known", () => {
    expect(read({ dry_basis: "measured", moisture: "62" }).wrong).toHaveProperty("wet");
  });

  test("carries the figures of its own dry basis and of no other", () => {
    const { fields } = read({
      wet: "3",
      dry_basis: "assumed",
      dry: "1.2",
      moisture: "60",
      low: "58",
      high: "66",
    });
    expect(fields).toMatchObject({
      dry_g: null,
      moisture_pct: null,
      moisture_low_pct: 58,
      moisture_high_pct: 66,
    });
  });

  test("takes moisture with a decimal comma and a % sign", () => {
    expect(read({ wet: "3", dry_basis: "measured", moisture: "62,5 %" }).fields).toMatchObject({
      moisture_pct: 62.5,
    });
  });

  test.each(["100", "-1", "wet", ""])("refuses “%s” as a moisture", (moisture) => {
    expect(read({ wet: "3", dry_basis: "measured", moisture }).wrong?.moisture).toContain(`“${moisture}”`);
  });

  test("refuses a moisture range upside down", () => {
    expect(read({ wet: "3", dry_basis: "assumed", low: "70", high: "60" }).wrong?.high).toContain("swap");
  });

  test("refuses a dry mass above the wet one", () => {
    expect(read({ wet: "3", dry_basis: "stated", dry: "3.5" }).wrong?.dry).toContain("3500 g");
  });

  test("of an unlikely mass is asked back until the grower says that it is right", () => {
    expect(read({ wet: "3 g" }).wrong?.wet).toBe("3 g for a block?");
    expect(read({ wet: "40 kg" }).wrong?.wet).toBe("40 kg for a block?");
    expect(read({ wet: "40 kg", sure: "40 kg" }).fields).toMatchObject({ wet_g: 40_000 });
    expect(read({ wet: "41 kg", sure: "40 kg" }).wrong?.wet).toBe("41 kg for a block?");
  });

  test("whose unlikely mass was saved once is not asked for it again", () => {
    const light = block({ wet_g: 60 }).fields;
    expect(
      readBlock(
        draftOf(light, (grams) => `${grams} g`),
        "kg",
      ).fields,
    ).toMatchObject({ wet_g: 60 });
  });

  test("asks an ambiguous mass back", () => {
    expect(read({ wet: "1,250" }).wrong?.wet).toContain("1,250");
  });

  test("says everything that is wrong at once", () => {
    expect(Object.keys(read({ variety: "", wet: "much" }).wrong ?? {}).sort()).toEqual(["variety", "wet"]);
  });

  test("comes back from its record unchanged", () => {
    const kept = block({
      dry_basis: "assumed",
      moisture_low_pct: 58,
      moisture_high_pct: 66,
      wet_g: 3000.5,
    }).fields;
    const { label, delivery, ...others } = kept;
    const offered = draftOf(kept, (grams) => `${Math.round(grams)} g`);
    const read = readBlock(offered, "lb").fields;
    expect(offered.wet).toBe("3001 g");
    expect(read && unrounded(read, offered, offered, kept)).toEqual(others);
  });
});

describe("a delivery as written down", () => {
  const DRAFT = { received: "2026-05-01", lot: " H-1 ", price: "", currency: "EUR", stored: "", note: "" };
  const TODAY = "2026-05-03";
  const said = (day: string) => dayWords(day, TODAY);

  test("has no currency without a price", () => {
    expect(readDelivery(DRAFT, TODAY, said).fields).toMatchObject({ price: null, currency: "", lot: "H-1" });
  });

  test("keeps a price with two decimals", () => {
    expect(readDelivery({ ...DRAFT, price: "42,5" }, TODAY, said).fields).toMatchObject({ price: "42.50" });
  });

  test.each(["12.345", "-3", "dear"])("refuses “%s” as a price", (price) => {
    expect(readDelivery({ ...DRAFT, price }, TODAY, said).wrong?.price).toContain(`“${price}”`);
  });

  test("refuses a currency of other than three letters", () => {
    expect(readDelivery({ ...DRAFT, price: "3", currency: "euro" }, TODAY, said).wrong?.currency).toContain(
      "for example EUR",
    );
  });

  test("refuses a day to come", () => {
    const { wrong } = readDelivery({ ...DRAFT, received: "2026-05-04" }, TODAY, said);
    expect(wrong?.received).toBe("4 May is still to come. Write it down when it is here.");
  });

  test("has not arrived after the first pick of any of its blocks, on whose day it still may", () => {
    const other = { ...block({ label: "7KQ4M" }), id: "b2" };
    const picked = [pick("k1", "2026-04-20T08:00:00Z"), pick("k2", "2026-04-12T08:00:00Z", { block: "b2" })];
    const first = firstPick(farmOf(block(), other, ...picked), DELIVERY, (at) => at.slice(0, 10));
    const arrived = (received: string) =>
      readDelivery({ ...DRAFT, received }, TODAY, said, first).wrong?.received;
    expect(arrived("2026-04-13")).toBe(
      "Arrived on 13 Apr, but 7KQ4M was picked on 12 Apr. Correct one of the two.",
    );
    expect(arrived("2026-04-12")).toBeUndefined();
  });

  test("is not held back by a pick of another delivery's block", () => {
    const farm = farmOf(block({ delivery: null }), pick("k1", "2026-04-12T08:00:00Z"));
    expect(firstPick(farm, DELIVERY, (at) => at.slice(0, 10))).toBeNull();
  });

  test("is read back into its form as it was, in the farm's currency where it had no price", () => {
    const fields = {
      supplier: "s",
      count: 3,
      ...DRAFT,
      stored_c: 4,
      price: "42.50",
      currency: "GBP",
      note: "wet box",
    };
    expect(readDelivery(deliveryDraftOf(fields, "EUR"), TODAY, said).fields).toMatchObject({
      price: "42.50",
      currency: "GBP",
      note: "wet box",
      stored_c: 4,
    });
    expect(deliveryDraftOf({ ...fields, price: null, currency: "" }, "EUR")).toMatchObject({
      price: "",
      currency: "EUR",
    });
  });
});

test("a number of blocks is whole, from 1 to 500", () => {
  expect([readCount("12"), readCount("500")]).toEqual([12, 500]);
  for (const text of ["", "0", "501", "2.5", "many"]) expect(typeof readCount(text)).toBe("string");
});
