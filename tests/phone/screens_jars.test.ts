import { describe, expect, test, vi } from "vitest";
import type { Standing } from "../../static/src/records/farm_view";
import type { Change } from "../../static/src/store";
import { finished, jarView, LOAD, load, loadView, MIXED, part, SHIITAKE } from "./drying_cast";
import { row } from "./farm_cast";
import { AT, JAR, jar, OYSTER, opens } from "./soaking_cast";

vi.hoisted(() => vi.stubGlobal("location", { hash: "" }));

const { freeLabel } = await import("../../static/src/screens/free_label");
const { freshJar, jarDraftOf, ofKind, readJar } = await import("../../static/src/screens/jars/jar_draft");
const { askTaking } = await import("../../static/src/screens/jars/jar_take");
const { freshWords } = await import("../../static/src/screens/jars/jar_figures");
const { absorbersFor } = await import("../../static/src/screens/jars/sealing_need");
const { massText, readMass } = await import("../../static/src/screens/keeping/typed_mass");
const { is_label } = await import("../../static/src/records/labels");

type Add = Extract<Change, { verb: "add"; kind: "jar" }>;

const TODAY = "2026-11-04";
const LOADED = loadView(load({ ended: AT, dry_g: 118, dry_typed: "118 g" }), part("p", 1000));
const AROUND = { today: TODAY, load: LOADED } as const;
const DRAFT = freshJar("7KQ4M", TODAY, LOADED);

function made(draft: Partial<typeof DRAFT>): Add["fields"] {
  const read = readJar({ ...DRAFT, ...draft }, AROUND);
  if (!("changes" in read)) throw new Error(JSON.stringify(read));
  return (read.changes[0] as Add).fields;
}

describe("a new jar", () => {
  test("is offered what the load has in no jar yet, under the name of what dried in it", () => {
    const filled = loadView(load({ dry_g: 118 }), part("p", 1000), jar({ drying: LOAD, dry_g: 60 }));
    expect(freshJar("7KQ4M", TODAY, filled)).toMatchObject({
      dry: "58 g",
      what: "Grey oyster",
      drying: LOAD,
    });
  });

  test("becomes one record with what was typed for its mass", () => {
    const fields = made({ dry: "62", best: "2027-05-01" });
    const kept = {
      label: "7KQ4M",
      drying: LOAD,
      variety: OYSTER.id,
      packed: TODAY,
      best_before: "2027-05-01",
    };
    expect(fields).toMatchObject({ ...kept, dry_g: 62, dry_typed: "62 g", absorber_ml: null });
  });

  test("of more than the load gave is asked back, and taken after a yes", () => {
    const more = { ...DRAFT, dry: "150 g" };
    const odd = { key: "150 g", words: expect.stringContaining("The load gave 118 g") };
    expect(readJar(more, AROUND)).toMatchObject({ odd });
    expect(made({ ...more, sure: "150 g" })).toMatchObject({ dry_g: 150 });
  });

  test("needs to be told what is in it", () => {
    const nameless = { ...DRAFT, what: " ", variety: "" };
    expect(readJar(nameless, AROUND)).toMatchObject({ faults: { what: expect.any(String) } });
  });

  test("is packed by today, and best before no earlier than that", () => {
    const odd = readJar({ ...DRAFT, packed: "2026-11-05", best: "2026-11-01" }, AROUND);
    expect("faults" in odd && Object.keys(odd.faults).sort()).toEqual(["best", "packed"]);
  });

  test("gets a label that is right and that no other thing has", () => {
    const label = freeLabel(new Set());
    expect(is_label(label)).toBe(true);
    expect(freeLabel(new Set([label]))).not.toBe(label);
  });
});

describe("a jar of one variety of a mixed load", () => {
  const mixed = loadView(load({ dry_g: 92 }), ...MIXED);
  const all = freshJar("7KQ4M", TODAY, mixed);
  const of = (draft: typeof all, variety: string) => ({ ...draft, ...ofKind(draft, variety, mixed) });

  test("begins as all of it, named after both", () => {
    expect(all).toMatchObject({ variety: "", what: "Grey oyster, Shiitake", dry: "92 g" });
  });

  test("takes its name, and is to be weighed by itself", () => {
    expect(of(all, SHIITAKE.id)).toMatchObject({ variety: SHIITAKE.id, what: "Shiitake", dry: "" });
  });

  test("keeps what was typed", () => {
    const typed = { ...all, what: "Caps", dry: "40 g" };
    expect(of(typed, SHIITAKE.id)).toMatchObject({ what: "Caps", dry: "40 g" });
  });

  test("goes back to all of it as it was offered", () => {
    expect(of(of(all, SHIITAKE.id), "")).toEqual(all);
  });

  test("is recorded with its variety", () => {
    const read = readJar({ ...of(all, SHIITAKE.id), dry: "40 g" }, { today: TODAY, load: mixed });
    expect(read).toMatchObject({
      changes: [{ fields: { variety: SHIITAKE.id, what: "Shiitake", dry_g: 40 } }],
    });
  });
});

describe("absorbers", () => {
  // Air holds 20.95 % oxygen by volume, and a rating counts oxygen: 1 L of air needs three of 100 mL.
  test("are counted for the whole container as air", () => {
    expect(absorbersFor(1000, 100)).toEqual({ oxygen_ml: expect.closeTo(209.5, 6), count: 3 });
  });

  test("are kept as all the oxygen they take up together", () => {
    expect(made({ ml: "1000", absorbers: "yes", one: "100" })).toMatchObject({ absorber_ml: 300 });
    expect(made({ ml: "1000", absorbers: "yes", one: "100", count: "4" })).toMatchObject({
      absorber_ml: 400,
    });
  });

  test.each(["1 L", "1l", "1 litre", "1000 ml", "1000"])("of a jar of %s are counted alike", (ml) => {
    expect(made({ ml, absorbers: "yes", one: "100" })).toMatchObject({
      container_ml: 1000,
      absorber_ml: 300,
    });
  });

  test("of a jar of a bare 1 are asked back: litres or millilitres", () => {
    const { faults } = { faults: undefined, ...readJar({ ...DRAFT, ml: "1" }, AROUND) };
    expect(faults?.ml).toBe("Is “1” in litres? Write 1 L or 1 mL.");
  });

  test("without a size, or a number that can be worked out, are asked for", () => {
    const none = readJar({ ...DRAFT, absorbers: "yes" }, AROUND);
    expect(none).toMatchObject({ faults: { one: expect.any(String) } });
    const sized = readJar({ ...DRAFT, absorbers: "yes", one: "100", ml: "" }, AROUND);
    expect(sized).toMatchObject({ faults: { count: expect.any(String) } });
  });

  test("of no known container are no number", () => {
    expect(absorbersFor(null, 100)).toBeNull();
  });
});

describe("a jar that is corrected", () => {
  const seen = jar({ dry_g: 61.25, dry_typed: "", absorber_ml: 300, drying: LOAD });

  test("is what it was when nothing was changed", () => {
    const read = readJar(jarDraftOf(seen), { ...AROUND, load: undefined }, seen);
    if (!("changes" in read)) throw new Error(JSON.stringify(read));
    expect(read.changes[0]).toMatchObject({ verb: "patch", fields: seen.fields });
  });

  test("may weigh all that its load gave: its own mass is no other jar's", () => {
    const filled = loadView(load({ dry_g: 118 }), part("p", 1000), seen);
    const draft = { ...jarDraftOf(seen), dry: "118 g" };
    expect(readJar(draft, { ...AROUND, load: filled }, seen)).toHaveProperty("changes");
  });
});

describe("taking from a jar", () => {
  const taking = { typed: { digits: "80", unit: "g" }, when: "", confirmed: "", use: "kitchen" } as const;

  test("what it holds, to the last gram, passes", () => {
    expect(askTaking(taking, 80, 80)).toBeNull();
  });

  test("more than it holds is asked back: all that is left, or as typed", () => {
    const asked = askTaking(taking, 80, 62);
    expect(asked?.words).toBe("The jar holds 62 g by the record; you typed 80 g.");
    expect(asked?.answers?.map(([name]) => name)).toEqual(["Take all 62 g", "Take 80 g all the same"]);
  });

  test("as typed is taken after a yes to that very figure", () => {
    expect(askTaking({ ...taking, confirmed: "80 g" }, 80, 62)).toBeNull();
    expect(askTaking({ ...taking, confirmed: "90 g" }, 80, 62)).not.toBeNull();
  });

  test("from an empty one has only that answer", () => {
    expect(askTaking(taking, 80, 0)?.answers?.map(([name]) => name)).toEqual(["Take 80 g all the same"]);
  });
});

describe("what is left", () => {
  const taken = (id: string, mass_g: number) =>
    row("taking", id, { jar: JAR, at: AT, mass_g, typed: `${mass_g} g`, use: "kitchen", note: "" });

  test("is what went in less every taking, and below nothing where two phones took", () => {
    expect(jarView(jar(), taken("a", 20), taken("b", 30)).left_g).toBe(70);
    expect(jarView(jar(), taken("a", 100), taken("b", 30)).left_g).toBe(-10);
  });

  function stands(load: Standing[], others: Standing[] = []) {
    const rows = [...load, ...others, jar({ drying: "a", dry_g: 58 })];
    opens(...rows);
    return freshWords(jarView(...rows));
  }

  test("stands for fresh mushrooms as its own load was weighed, wet and dried, whatever others did", () => {
    const others = ["b", "c", "d"].flatMap((id) => finished(id, 1000, 200));
    expect(stands(finished("a", 830, 92), others)).toBe("523 g fresh, by its own load"); // 58 x 830/92
  });

  test("of a mixed load stands for about what the load's mean says", () => {
    const load = [...finished("a", 500, 92), part("q", 330, { drying: "a", variety: null })];
    expect(stands(load)).toBe("about 523 g fresh, by the mean of its own load, which was mixed");
  });

  test("of a load that was not weighed dry stands for what the farm's own dry-down says", () => {
    const others = ["b", "c", "d", "e"].flatMap((id) => finished(id, 1000, 100));
    const words = stands(finished("a", 1000, 100, { dry_g: null }), others);
    expect(words).toMatch(/^about 5[78]\d g fresh, likely .* \(your 4 batches\)$/);
  });

  test("is no fresh mushroom when nothing is left", () => {
    opens(jar());
    expect(freshWords(jarView(jar(), taken("a", 120)))).toBeNull();
  });
});

describe("a mass in a field", () => {
  test("is read back to the same grams, and a bare number keeps the unit it was taken for", () => {
    expect(massText({ grams: 61.25, typed: "" })).toBe("61.25 g");
    expect(readMass("61.25 g")).toEqual({ value: { grams: 61.25, typed: "61.25 g" } });
    expect(readMass(" 62 ")).toEqual({ value: { grams: 62, typed: "62 g" } });
    expect(readMass("2 lb 1 oz")).toMatchObject({ value: { typed: "2 lb 1 oz" } });
  });

  test("that nobody typed stays so while it is not changed", () => {
    const seen = { grams: 61.25, typed: "" };
    expect(readMass("61.25 g", seen)).toEqual({ value: seen });
    expect(readMass("61 g", seen)).toEqual({ value: { grams: 61, typed: "61 g" } });
  });
});
