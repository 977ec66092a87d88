/** A record's history as it is told: what was changed, what did not stand against whom, and what can be taken. */
import { describe, expect, test } from "vitest";
import {
  contested,
  isContested,
  isHistory,
  isKnown,
  partsOf,
  type Told,
  writerOf,
} from "../../static/src/screens/history/changes";
import type { Outvoted } from "../../static/src/store";
import { pickFields } from "./cast";

const mass = (grams: number) => ({ wet_g: grams, typed: `${grams} g` });

function told(seq: number, more: Partial<Told>): Told {
  const at = `2026-05-03T07:0${seq}:00Z`;
  const by = { name: "Ann", you: false };
  return { seq, at, received: at, verb: "patch", by, phone: "", before: {}, after: {}, lost: {}, ...more };
}

const ADDED = told(1, { verb: "add", after: { ...pickFields(mass(500)) } });
const BY_ANN = told(2, { before: mass(500), after: mass(340) });
const LOST = told(3, { by: null, before: mass(340), after: mass(340), lost: mass(430) });
const NOW = { ...pickFields(mass(340)) };

describe("a change", () => {
  test("is told as what stood before and what it made of it", () => {
    const [part, none] = partsOf("pick", BY_ANN, [ADDED], NOW);
    expect(part).toMatchObject({ lost: false, shown: [{ field: "wet_g", was: 500, value: 340 }] });
    expect(none).toBeUndefined();
  });

  test("offers nothing to take where its value stands", () => {
    expect(partsOf("pick", BY_ANN, [ADDED], NOW)[0]?.take).toBeNull();
  });

  test("whose value stands no more offers it with all that belongs to it", () => {
    const now = { ...pickFields(mass(510)) };
    expect(partsOf("pick", BY_ANN, [ADDED], now)[0]?.take).toEqual(mass(340));
  });

  test("offers nothing to whom may not write, or of a deleted record", () => {
    expect(partsOf("pick", LOST, [BY_ANN], null)[0]?.take).toBeNull();
  });

  test("of a value typed anew is told though the grams are the same", () => {
    const typed = told(2, { before: mass(340), after: { wet_g: 340, typed: "0.34 kg" } });
    expect(partsOf("pick", typed, [], NOW)[0]?.shown.map(({ field }) => field)).toEqual(["typed"]);
  });

  test("is told field by field where fields do not belong together", () => {
    const both = told(2, { before: { note: "", flush: 1 }, after: { note: "wet", flush: 2 } });
    expect(partsOf("pick", both, [], NOW).map(({ shown }) => shown[0]?.field)).toEqual(["note", "flush"]);
  });
});

describe("a value that did not stand", () => {
  test("is told against the one that stood, with who wrote that", () => {
    const [part] = partsOf("pick", LOST, [BY_ANN, ADDED], NOW);
    expect(part).toMatchObject({ lost: true, shown: [{ field: "wet_g", was: 340, value: 430 }] });
    expect(part?.other).toBe(BY_ANN);
  });

  test("can be taken", () => {
    expect(partsOf("pick", LOST, [BY_ANN, ADDED], NOW)[0]?.take).toEqual(mass(430));
  });

  test("is told without a name where that change is on an earlier page", () => {
    expect(partsOf("pick", LOST, [], NOW)[0]).toMatchObject({ lost: true, other: undefined });
  });

  test("is nothing to tell where both wrote the same", () => {
    const same = told(3, { before: mass(340), after: mass(340), lost: mass(340) });
    expect(partsOf("pick", same, [BY_ANN], NOW)).toEqual([]);
  });
});

test("a value that was replaced by one written without knowing of it is told with its writer", () => {
  const replacing = told(3, { before: mass(340), after: mass(355), unseen: ["wet_g", "typed"] });
  expect(partsOf("pick", replacing, [BY_ANN, ADDED], NOW)[0]).toMatchObject({ lost: false, other: BY_ANN });
});

test("of a new record only what was filled in is told", () => {
  const fields = partsOf("pick", ADDED, [], NOW).flatMap(({ shown }) => shown.map(({ field }) => field));
  expect(fields).toEqual(["block", "flush", "at", "wet_g", "handling"]);
});

test("of a photo the file's own measures are not told", () => {
  const after = { stage: "ready", sha256: "f", thumb_sha256: "e", width: 1600, height: 1200 };
  const parts = partsOf("photo", told(1, { verb: "add", after }), [], after);
  expect(parts.flatMap(({ shown }) => shown.map(({ field }) => field))).toEqual(["stage"]);
});

test("the writer of what stands is the last whose value did not lose", () => {
  expect(writerOf([LOST, BY_ANN, ADDED], "wet_g")).toBe(BY_ANN);
  expect(writerOf([LOST, BY_ANN, ADDED], "flush")).toBe(ADDED);
});

test("an answer of another shape is no history", () => {
  expect([isHistory(null), isHistory({}), isHistory({ changes: [], more: false })]).toEqual([
    false,
    false,
    true,
  ]);
});

describe("what a person is told of a value of theirs that lost", () => {
  const outvoted = (more: Partial<Outvoted> = {}): Outvoted => ({
    row: "k",
    kind: "pick",
    fields: ["wet_g", "typed"],
    mine: mass(430),
    at: "2026-05-03T07:09:00Z",
    ...more,
  });

  test("has both values, and grams once", () => {
    expect(contested(outvoted(), NOW)).toEqual([{ field: "wet_g", stands: 340, mine: 430 }]);
  });

  test("is nothing once they have taken theirs, also before it is sent", () => {
    expect(contested(outvoted(), { ...NOW, ...mass(430) })).toEqual([]);
    expect(isContested(outvoted(), { deleted: false, fields: { ...NOW, ...mass(430) } })).toBe(false);
  });

  test("of a time before values were kept is what stands", () => {
    const { mine: _, ...old } = outvoted();
    expect(contested(old, NOW)).toEqual([{ field: "wet_g", stands: 340, mine: undefined }]);
  });

  test("leaves out empty fields of a group that exclude one another", () => {
    const fields = ["dry_basis", "dry_g", "moisture_pct", "moisture_low_pct", "moisture_high_pct", "wet_g"];
    const empty = { moisture_pct: null, moisture_low_pct: null, moisture_high_pct: null };
    const mine = { dry_basis: "stated", dry_g: 900, wet_g: 3000, ...empty };
    const row = { dry_basis: "oven", dry_g: 950, wet_g: 3000, ...empty };
    const shown = contested(outvoted({ kind: "block", fields, mine }), row).map(({ field }) => field);
    expect(shown).toEqual(["dry_basis", "dry_g"]);
  });

  test("is known to stand only once the row has come that shows it", () => {
    const known = [6, 7, 8].map((seq) => isKnown(outvoted({ seq: 7 }), { seq }));
    expect([...known, isKnown(outvoted(), { seq: 1 })]).toEqual([false, true, true, true]);
  });

  test("stays when the record was deleted since", () => {
    expect(isContested(outvoted(), { deleted: true, fields: NOW })).toBe(true);
    expect(isContested(outvoted(), undefined)).toBe(true);
  });
});
