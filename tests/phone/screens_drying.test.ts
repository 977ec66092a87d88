import { beforeEach, describe, expect, test, vi } from "vitest";
import type { Change } from "../../static/src/store";
import { finished, LOAD, load, loadView, part, STARTED, weighed } from "./drying_cast";
import { block, pick } from "./farm_cast";
import { jar, OYSTER, opens } from "./soaking_cast";

vi.hoisted(() => vi.stubGlobal("location", { hash: "" }));

const { askDried, askWeighing, wrongTime } = await import("../../static/src/screens/keeping/drying_asks");
const { curve, lengthWords } = await import("../../static/src/screens/keeping/drying_curve");
const { blankLoad, readLoad, readPart } = await import("../../static/src/screens/keeping/drying_draft");
const { expected, freeOf, isConstant, loadOf, unjarred, verdictOf } = await import(
  "../../static/src/screens/keeping/loads"
);
const { dried, sharesOf } = await import("../../static/src/screens/keeping/shares");
const { about } = await import("../../static/src/screens/keeping/amounts");

type Add<K> = Extract<Change, { verb: "add"; kind: K }>;

const PICK = pick("k", "2026-05-03T07:40:00Z");
const NOW = Date.parse("2026-05-03T12:00:00Z");
const noon = new Date(NOW).toISOString();

beforeEach(() => opens(block({ variety: OYSTER.id }), PICK));

function find(id: string) {
  return id === "k" ? { row: PICK, free_g: freeOf(PICK) } : undefined;
}

const whole = { pick: "k", variety: "", text: "340 g", sure: "" };

describe("what goes into a load", () => {
  test("becomes the load and one part for each pick, with what was typed for the pick", () => {
    const made = readLoad({ ...blankLoad("freeze", "0,1"), parts: [whole], temp: "45" }, find, NOW);
    if (!("changes" in made)) throw new Error("it is not saved");
    const [first, second] = made.changes as [Add<"drying">, Add<"drying_part">];
    const out = { ended: null, dry_g: null, dry_typed: "" };
    expect(first.fields).toMatchObject({ method: "freeze", temp_c: 45, scale_step_g: 0.1, ...out });
    expect(second.fields).toMatchObject({ drying: first.id, pick: "k", wet_g: 340, typed: "340 g" });
  });

  test("may be part of a pick, with a bare number in the unit of the phone", () => {
    const read = readPart({ ...whole, text: "120" }, find);
    expect(read).toMatchObject({ pick: "k", wet_g: 120, typed: "120 g" });
  });

  test("is the rest of a pick that lies in another load in part", () => {
    opens(block(), PICK, load({}, "other"), part("p", 120, { drying: "other", pick: "k", variety: null }));
    expect(readPart({ ...whole, text: "220 g" }, find)).toMatchObject({ wet_g: 220, typed: "" });
  });

  test("is asked back above what the pick has left, and taken after a yes", () => {
    const more = { ...whole, text: "400 g" };
    expect(readPart(more, find)).toMatchObject({ asked: true, wrong: expect.stringContaining("400 g") });
    expect(readPart({ ...more, sure: "400 g" }, find)).toMatchObject({ wet_g: 400 });
  });

  test("from elsewhere needs its variety", () => {
    const other = { pick: null, variety: "", text: "450 g", sure: "" };
    expect(readPart(other, find)).toEqual({ wrong: "Choose what they are." });
    expect(readPart({ ...other, variety: "v" }, find)).toMatchObject({ pick: null, variety: "v" });
  });

  test("is not nothing", () => {
    expect(readLoad(blankLoad(), find, NOW)).toMatchObject({ faults: { none: expect.any(String) } });
  });

  test("is put in now or earlier, by a dryer that can be and a scale that counts", () => {
    const draft = { ...blankLoad(), parts: [whole], temp: "450", step: "fine", when: "2026-05-04T10:00" };
    const made = readLoad(draft, find, NOW);
    expect("faults" in made && Object.keys(made.faults).sort()).toEqual(["step", "temp", "when"]);
  });
});

describe("a weighing on the way", () => {
  const view = loadView(part("p", 1000), weighed(2, 600), weighed(3, 400, false));

  test("between what went in and the driest it may be passes without a word", () => {
    expect(askWeighing(view, 400, noon)).toBeNull();
  });

  test("that rises above the last cooled one is asked back with both", () => {
    expect(askWeighing(view, 640, noon)?.words).toMatch(/640 g is above the 600 g/);
  });

  test("is not held against one that was weighed warm", () => {
    expect(askWeighing(view, 420, noon)).toBeNull();
  });

  test("is held only against those before it", () => {
    expect(askWeighing(view, 900, "2026-05-03T09:00:00Z")).toBeNull();
  });

  test("of more than went in is asked back", () => {
    expect(askWeighing(view, 1200, noon)?.words).toContain("1.2 kg is more than the 1 kg that went in");
  });

  test("below 5 % of what went in is asked back with its share", () => {
    expect(askWeighing(view, 49, noon)?.words).toContain("is 5 %; 5 to 20 % is usual");
    expect(askWeighing(view, 50, noon)).toBeNull();
  });

  test("cannot be before the load was put in, or still to come", () => {
    expect(wrongTime("", STARTED, NOW)).toBe("");
    expect(wrongTime("2026-05-01T10:00", STARTED, NOW)).toContain("put in later");
    expect(wrongTime("2026-06-01T10:00", STARTED, NOW)).toContain("still to come");
  });
});

describe("the dried mass", () => {
  const view = loadView(part("p", 1000));

  test("from 5 to 20 % of what went in passes", () => {
    expect([50, 115, 200].map((dry_g) => askDried(view, dry_g))).toEqual([null, null, null]);
  });

  test("beyond that is asked back, a pound for grams too, and nothing is refused", () => {
    expect(askDried(view, 230)?.words).toContain("is 23 %");
    expect(askDried(view, 1150)?.words).toContain("above the 1 kg that went in");
  });

  test("is shared out by wet mass, all of it", () => {
    const found = sharesOf(loadView(load({ dry_g: 100 }), part("p", 300), part("q", 700)));
    expect(found).toEqual({ shares: { p: expect.closeTo(30, 6), q: expect.closeTo(70, 6) } });
  });

  test("above the wet mass has no shares but a sentence", () => {
    const found = sharesOf(loadView(load({ dry_g: 1100 }), part("p", 1000)));
    expect(found).toMatchObject({ trouble: expect.stringContaining("above the wet mass") });
  });

  test("of a pick among others is its share by wet mass, marked as mixed", () => {
    const view = loadView(load({ dry_g: 100 }), part("p", 300, { pick: "k" }), part("q", 700));
    expect(dried("k", [view])).toEqual({ dry_g: expect.closeTo(30, 6), wet_g: 300, mixed: true });
  });

  test("of a pick alone in its load is the whole load", () => {
    const view = loadView(load({ dry_g: 38 }), part("p", 340, { pick: "k" }));
    expect(dried("k", [view])).toEqual({ dry_g: 38, wet_g: 340, mixed: false });
  });

  test("of a pick is not told while its load is in the dryer, nor of one that lay in none", () => {
    const drying = loadView(part("p", 340, { pick: "k" }));
    const others = loadView(load({ dry_g: 100 }), part("q", 700));
    expect([dried("k", [drying]), dried("k", [others])]).toEqual([null, null]);
  });

  test("less what is in jars is what is loose", () => {
    expect(unjarred(loadView(load({ dry_g: 118 }), jar({ drying: LOAD, dry_g: 60 })))).toBe(58);
  });
});

describe("what a load should come to", () => {
  const view = loadView(part("p", 1000));

  test("rests on published water content before there is a run", () => {
    expect(expected(loadOf(view))).toMatchObject({ n: 0, basis: expect.stringContaining("published") });
  });

  test("rests on the farm's runs of the same variety and method, and on no others", () => {
    const runs = ["a", "b", "c"].flatMap((id) => finished(id, 1000, 115));
    opens(...runs, ...finished("freeze", 1000, 60, { method: "freeze" }));
    const estimate = expected(loadOf(view));
    expect(estimate).toMatchObject({ n: 3, basis: "your 3 batches" });
    expect(estimate?.value).toBeGreaterThan(110);
    expect(estimate?.value).toBeLessThan(118);
  });

  test("does not rest on the load itself", () => {
    opens(load({ dry_g: 115, ended: STARTED }), part("p", 1000));
    expect(expected(loadOf(view))?.n).toBe(0);
  });

  test("cannot be said of nothing", () => {
    expect(expected(loadOf(loadView()))).toBeNull();
  });

  test("is said no finer than its interval", () => {
    const basis = { n: 7, basis: "your 7 batches" };
    expect(about({ value: 118.3, low: 103.8, high: 133.4, ...basis })).toEqual({
      value: "118 g",
      range: "104 to 133 g",
    });
    expect(about({ value: 1087, low: 880, high: 1312, ...basis })).toEqual({
      value: "1.1 kg",
      range: "900 g to 1.3 kg",
    });
  });
});

describe("the verdict", () => {
  test("is constant weight once two cooled weighings half an hour apart agree, whatever was weighed warm", () => {
    const view = loadView(part("p", 1000), weighed(5, 118), weighed(5.5, 110, false), weighed(6, 118));
    expect(verdictOf(view)).toMatchObject({ verdict: "constant", tolerance_g: 1 });
  });

  test("lets a load out at constant weight, and no sooner", () => {
    const losing = loadView(part("p", 1000), weighed(5, 150), weighed(6, 118));
    const constant = loadView(part("p", 1000), weighed(5, 118), weighed(6, 118));
    const rising = loadView(part("p", 1000), weighed(5, 118), weighed(6, 130));
    expect([losing, constant, rising].map(isConstant)).toEqual([false, true, false]);
  });

  test("of a load that rises is a sentence, not a crash", () => {
    const view = loadView(part("p", 1000), weighed(5, 118), weighed(6, 130));
    expect(verdictOf(view)).toMatchObject({ trouble: expect.stringContaining("130 g") });
  });
});

describe("the drying curve", () => {
  const at = (minutes: number, grams: number) => ({ minutes, grams, cooled: true });

  test("falls from left to right, and ends in its band", () => {
    const { points, band } = curve([at(0, 1000), at(300, 400), at(600, 115)], [100, 130]);
    const [first, middle, last] = points;
    expect(first && middle && last && first.x < middle.x && middle.x < last.x).toBe(true);
    expect(first && middle && last && first.y < middle.y && middle.y < last.y).toBe(true);
    expect(band && last && band[0] < last.y && last.y < band[1]).toBe(true);
  });

  test("names its first and last point, and no two whose words would lie on one another", () => {
    const many = Array.from({ length: 30 }, (_, n) => at(n * 10, 1000 - n));
    const named = curve(many, null).points.filter((point) => point.named);
    expect([named[0]?.minutes, named.at(-1)?.minutes]).toEqual([0, 290]);
    const gaps = named.slice(1).map((point, n) => point.x - (named[n]?.x ?? 0));
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(52);
  });

  test("says a time as long as it is", () => {
    expect([20, 90, 600, 2880, 5760].map(lengthWords)).toEqual(["20 min", "1.5 h", "10 h", "48 h", "4 days"]);
  });
});
