import { describe, expect, test, vi } from "vitest";
import { is_label, make_label } from "../../static/src/records/labels";
import { blankLine, NEW, readWritten, type Written } from "../../static/src/screens/papers/delivery_draft";
import { NEW_PLACE } from "../../static/src/screens/parts/place_field";
import type { Change } from "../../static/src/store";

const TODAY = "2026-05-03";
const LINE = { ...blankLine(), variety: "v", count: "3", wet: "3 kg" };
const WRITTEN: Written = {
  supplier: "s",
  supplierName: "",
  received: "2026-05-01",
  lot: "H-1",
  price: "",
  currency: "",
  stored: "",
  note: "",
  lines: [LINE],
};

function changes(more: Partial<Written>, taken: ReadonlySet<string> = new Set()): Change[] {
  const read = readWritten({ ...WRITTEN, ...more }, TODAY, "g", taken);
  if (!("made" in read)) throw new Error(JSON.stringify(read.faults));
  return read.made.changes;
}

function faults(more: Partial<Written>) {
  const read = readWritten({ ...WRITTEN, ...more }, TODAY, "g", new Set());
  return "faults" in read ? read.faults : undefined;
}

function labels(made: readonly Change[]): string[] {
  return made.flatMap((change) =>
    change.verb === "add" && change.kind === "block" ? [change.fields.label] : [],
  );
}

describe("a delivery", () => {
  test("makes as many blocks as came, each with a label of its own", () => {
    const found = labels(changes({ lines: [{ ...LINE, count: "40" }] }));
    expect(found.every(is_label)).toBe(true);
    expect(new Set(found).size).toBe(40);
  });

  test("draws again when a label is taken already", () => {
    const draws = [
      [1, 1, 1, 1],
      [1, 1, 1, 1],
      [2, 2, 2, 2],
      [3, 3, 3, 3],
    ];
    const chance = vi.spyOn(crypto, "getRandomValues").mockImplementation((bytes) => {
      if (bytes instanceof Uint8Array && bytes.length === 4) bytes.set(draws.shift() ?? [9, 9, 9, 9]);
      return bytes;
    });
    const taken = new Set([make_label([2, 2, 2, 2])]);
    const made = changes({ lines: [{ ...LINE, count: "2" }] }, taken);
    chance.mockRestore();
    expect(labels(made)).toEqual([make_label([1, 1, 1, 1]), make_label([3, 3, 3, 3])]);
  });

  test("of two varieties counts the blocks of both", () => {
    const made = changes({ lines: [LINE, { ...LINE, variety: "w", count: "2" }] });
    expect(made.filter(({ kind }) => kind === "block")).toHaveLength(5);
    expect(made.find(({ kind }) => kind === "delivery")).toMatchObject({
      fields: { count: 5, supplier: "s" },
    });
  });

  test("brings a new supplier and a new variety before the blocks that name them", () => {
    const fresh = { name: " Tide Pink ", species: "pleurotus-djamor", strain: "" };
    const made = changes({
      supplier: NEW,
      supplierName: "Marsh End",
      lines: [{ ...LINE, variety: NEW, count: "1", fresh }],
    });
    expect(made.map(({ kind }) => kind)).toEqual(["supplier", "delivery", "variety", "block"]);
    const [supplier, delivery, variety, block] = made;
    expect(delivery).toMatchObject({ fields: { supplier: supplier?.id } });
    expect(variety).toMatchObject({ fields: { name: "Tide Pink" } });
    expect(block).toMatchObject({ fields: { variety: variety?.id, delivery: delivery?.id, wet_g: 3000 } });
  });

  test("brings a new place before its blocks, one for all the lines that name it", () => {
    const there = { ...LINE, count: "1", place: NEW_PLACE, placeName: " Cellar " };
    const made = changes({ lines: [there, { ...there, placeName: "cellar" }] });
    expect(made.map(({ kind }) => kind)).toEqual(["delivery", "place", "block", "block"]);
    const [, place, first, second] = made;
    expect(place).toMatchObject({ fields: { name: "Cellar" } });
    for (const block of [first, second]) expect(block).toMatchObject({ fields: { place: place?.id } });
  });

  test("wants a name for a new place", () => {
    expect(faults({ lines: [{ ...LINE, place: NEW_PLACE, placeName: " " }] })).toMatchObject({
      lines: [{ place: "Write a name for the place." }],
    });
  });

  test("asks a block's unlikely mass back beside its line", () => {
    expect(faults({ lines: [LINE, { ...LINE, wet: "3" }] })).toMatchObject({
      lines: [{}, { wet: "3 g for a block?" }],
    });
  });

  test("says everything that is wrong at once, line by line", () => {
    const found = faults({
      supplier: "",
      price: "dear",
      lines: [LINE, { ...LINE, count: "none", variety: "" }],
    });
    expect(found).toMatchObject({
      supplier: "Choose the supplier.",
      delivery: { price: expect.stringContaining("dear") },
      lines: [{}, { count: expect.stringContaining("none"), variety: "Choose the variety." }],
    });
  });

  test("wants a name for what is new", () => {
    const found = faults({ supplier: NEW, supplierName: " ", lines: [{ ...LINE, variety: NEW }] });
    expect(found).toMatchObject({
      supplier: "Write the supplier's name.",
      lines: [{ variety: expect.any(String) }],
    });
  });
});
