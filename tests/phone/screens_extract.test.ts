import { beforeEach, describe, expect, test, vi } from "vitest";
import { keepingView } from "../../static/src/records/keeping_view";
import { datesOf, stageOf } from "../../static/src/screens/extracts/extract_dates";
import {
  type ExtractDraft,
  extractDraftOf,
  freshExtract,
} from "../../static/src/screens/extracts/extract_draft";
import { expectedOf, strengthParts } from "../../static/src/screens/extracts/extract_expected";
import { readExtract } from "../../static/src/screens/extracts/extract_read";
import { now } from "../../static/src/screens/here";
import { readVolume, volumeWords } from "../../static/src/screens/keeping/typed_amounts";
import { farmOf } from "./farm_cast";
import { EXTRACT, extract, JAR, jar, OYSTER, opens, step } from "./soaking_cast";

vi.hoisted(() => vi.stubGlobal("location", { hash: "" }));

beforeEach(() => opens(jar()));

function read(more: Partial<ExtractDraft>) {
  return readExtract({
    ...freshExtract(JAR),
    mass: "60 g",
    spirit: "500 mL",
    strength: "190 proof",
    ...more,
  });
}

describe("an extract that is begun", () => {
  test("reads proof as half of it, weeks as days, and notes the taking", () => {
    expect(read({})).toMatchObject({
      changes: [
        { kind: "extract", fields: { spirit_pct: 95, steep_low_days: 28, steep_high_days: 42, jar: JAR } },
        { kind: "taking", fields: { jar: JAR, mass_g: 60, use: "extract" } },
      ],
    });
  });

  test("is named for its variety where no name was written", () => {
    expect(read({})).toMatchObject({ changes: [{ fields: { name: "Grey oyster extract" } }, {}] });
  });

  test("of fresh mushrooms takes nothing from a jar and keeps their water as it was written", () => {
    const found = read({ mushroom: "fresh", mass: "800 g", waterLow: "86" });
    expect(found).toMatchObject({
      changes: [{ fields: { jar: null, fresh_water_low_pct: 86, fresh_water_high_pct: null } }],
    });
    expect("changes" in found && found.changes).toHaveLength(1);
  });

  test.each<[keyof ExtractDraft, Partial<ExtractDraft>, string]>([
    ["strength", { strength: "190 %" }, "If the label says proof, write 190 proof"],
    ["strength", { strength: "80" }, "may be % by volume or proof"],
    ["strength", { strength: "" }, "like 95 %"],
    ["spirit", { spirit: "0.5" }, "0.5 L or 0.5 mL"],
    ["spirit", { spirit: "" }, "how much spirit"],
    ["mass", { mass: "200 g" }, "holds 120 g"],
    ["weeksHigh", { weeksLow: "6", weeksHigh: "4" }, "swap the two"],
    ["targetHigh", { targetLow: "30", targetHigh: "25" }, "swap the two"],
    ["targetLow", { targetLow: "130" }, "130"],
    ["waterLow", { mushroom: "fresh", waterLow: "wet" }, "wet"],
    ["shake", { shake: "0" }, "from 1"],
  ])("names what is wrong with its %s: %o", (field, more, words) => {
    expect(read(more)).toMatchObject({ faults: { [field]: expect.stringContaining(words) } });
  });

  test("says everything that is wrong at once", () => {
    const found = read({ mass: "", spirit: "", strength: "" });
    expect("faults" in found && Object.keys(found.faults).sort()).toEqual(["mass", "spirit", "strength"]);
  });

  test("is asked back with pounds typed for grams", () => {
    const found = read({ mass: "60 lb", from: { jar: "", variety: "", take: "no" } });
    expect(found).toMatchObject({ faults: {}, odd: { key: "60 lb" } });
  });

  test("keeps on a correction the days that are no round number of weeks", () => {
    const found = readExtract(extractDraftOf(extract({ steep_low_days: 30 })));
    expect(found).toMatchObject({ changes: [{ verb: "patch", fields: { steep_low_days: 30 } }] });
  });
});

describe("what an extract should come to", () => {
  const { fields } = extract();
  const expected = (steps: [string, number | null][] = []) => {
    const found = expectedOf(fields, steps);
    if (!("value" in found)) throw new Error(found.refusal);
    return found.value;
  };

  test("before straining names the water stage that makes the setting", () => {
    const { waterStage, boiled, all } = expected();
    expect(boiled).toBe(false);
    expect(all.steeped_pct_vol.value).toBeCloseTo(95, 9); // dried mushrooms bring no water
    // OIML R 22: 1 L of 95 % takes 2.8726 L of water to 25 % and 2.2396 L to 30 %.
    const litres = all.strained_ml.value / 1000;
    expect(waterStage?.high).toBeCloseTo(2872.6 * litres, 0);
    expect(waterStage?.low).toBeCloseTo(2239.6 * litres, 0);
  });

  test("takes what was strained off instead of its guess", () => {
    expect(expected([["strained", 410]]).all.strained_ml).toMatchObject({ value: 410, low: 410, high: 410 });
  });

  test("once boiled asks for water where it is too strong, for spirit where it is too weak", () => {
    const strong = expected([
      ["strained", 410],
      ["boiled", 700],
    ]);
    expect(strong.waterStage).toBeNull();
    expect(strong.all.water_still_ml.value).toBeGreaterThan(0);
    expect(strong.all.spirit_still_ml.value).toBe(0);
    const weak = expected([
      ["strained", 410],
      ["boiled", 1600],
    ]);
    expect(weak.all.spirit_still_ml.value).toBeGreaterThan(0);
  });

  test("refuses in words where the mushrooms would hold all of the spirit", () => {
    const found = expectedOf({ ...fields, mass_g: 400 }, []);
    expect("refusal" in found && found.refusal).toContain("take more spirit");
  });

  test("shows a strength no finer than its ends allow", () => {
    const estimate = { value: 27.34, low: 24.1, high: 30.6, n: 0, basis: "" };
    expect(strengthParts(estimate)).toEqual({ digits: "27", range: "24 to 31 %" });
    expect(strengthParts({ ...estimate, low: 27, high: 28.06 })).toMatchObject({
      digits: "27.3",
      range: "27 to 28.1 %",
    });
  });
});

describe("its dates", () => {
  const viewOf = (...steps: ReturnType<typeof step>[]) => {
    const view = keepingView(farmOf(OYSTER, extract(), ...steps)).extract.get(EXTRACT);
    if (!view) throw new Error("the cast has no extract");
    return view;
  };
  const on = (day: string) => {
    now.value = Date.parse(`${day}T12:00:00`);
  };

  test("name the next shaking and when to strain", () => {
    on("2026-11-02");
    expect(datesOf(viewOf())).toEqual(["Shake it next on 4 Nov.", "Strain it from 29 Nov to 13 Dec."]);
  });

  test("count from the last shaking", () => {
    on("2026-11-05");
    expect(datesOf(viewOf(step("shaken", "2026-11-04T09:00:00Z")))[0]).toBe("Shake it next on 7 Nov.");
  });

  test("say today what is due or overdue", () => {
    on("2026-12-01");
    expect(datesOf(viewOf())).toEqual(["Shake it today.", "Strain it now, by 13 Dec."]);
    on("2026-12-20");
    expect(datesOf(viewOf())).toContain("Strain it: its time was up on 13 Dec.");
  });

  test("end with the straining", () => {
    const strained = viewOf(step("strained", "2026-12-01T09:00:00Z", 410));
    expect(datesOf(strained)).toEqual([]);
    expect(stageOf(strained)).toBe("strained");
  });

  test("a note or a shake after bottling leaves it bottled", () => {
    const bottled = viewOf(step("bottled", "2026-12-02T09:00:00Z"), step("shaken", "2026-12-03T09:00:00Z"));
    expect(stageOf(bottled)).toBe("bottled");
  });
});

describe("a volume", () => {
  test.each([
    ["500", 500],
    ["500 mL", 500],
    ["1,5 L", 1500],
    ["70 cl", 700],
    ["0.75l", 750],
    ["1.250 L", 1250],
    ["2 litres", 2000],
    ["1 liter", 1000],
    ["500 millilitres", 500],
    ["", null],
  ])("typed %s is %s mL", (text, value) => {
    expect(readVolume(text)).toEqual({ value });
  });

  test.each(["1,250", "1.5", "-20 mL", "a cup", "2000 L"])("typed %s is asked back with its text", (text) => {
    expect(readVolume(text).wrong).toContain(text);
  });

  test("is shown in litres from one litre up", () => {
    expect([volumeWords(419.6), volumeWords(1284)]).toEqual(["420 mL", "1.28 L"]);
  });
});
