import { beforeEach, describe, expect, test, vi } from "vitest";
import { type ReadingDraft, readReading } from "../../static/src/screens/farm/readings_form";
import { airOf, readingsOf, readingWords } from "../../static/src/screens/farm/readings_words";
import { CELLAR, row, SHED } from "./farm_cast";
import { opens } from "./soaking_cast";

vi.hoisted(() => vi.stubGlobal("location", { hash: "" }));

const DRAFT: ReadingDraft = { celsius: "", humidity: "", co2: "", when: "", note: "" };
const AIR = { place: CELLAR, at: "2026-11-01T10:00:00Z", temp_c: 18, rh_pct: 90, co2_ppm: null, note: "" };

beforeEach(() => opens());

function read(more: Partial<ReadingDraft>) {
  return readReading({ ...DRAFT, ...more }, CELLAR);
}

describe("a reading", () => {
  test("keeps what was typed and leaves open what was not", () => {
    expect(read({ celsius: "13,5", humidity: "91" })).toMatchObject({
      changes: [{ kind: "reading", fields: { place: CELLAR, temp_c: 13.5, rh_pct: 91, co2_ppm: null } }],
    });
  });

  test("takes frost with either minus sign", () => {
    expect(read({ celsius: "−2" })).toMatchObject({ changes: [{ fields: { temp_c: -2 } }] });
  });

  test("takes 0 % as a figure, not as nothing", () => {
    expect(read({ humidity: "0" })).toMatchObject({ changes: [{ fields: { rh_pct: 0 } }] });
  });

  test.each<[keyof ReadingDraft, Partial<ReadingDraft>]>([
    ["celsius", { celsius: "140" }],
    ["humidity", { humidity: "101" }],
    ["co2", { co2: "-4" }],
    ["when", { celsius: "14", when: "soon" }],
    ["celsius", {}],
  ])("names what is wrong with its %s: %o", (field, more) => {
    expect(read(more)).toMatchObject({ faults: { [field]: expect.any(String) } });
  });

  test("is listed with the others of its place, oldest first", () => {
    const late = row("reading", "r1", { ...AIR, at: "2026-11-02T10:00:00Z" });
    const early = row("reading", "r2", AIR);
    opens(late, early, row("reading", "r3", { ...AIR, place: SHED }));
    expect(readingsOf(CELLAR).map(({ id }) => id)).toEqual(["r2", "r1"]);
  });

  test("is told in a line", () => {
    expect(readingWords({ ...AIR, co2_ppm: 900 })).toBe("18 °C, 90 %, 900 ppm");
    expect(readingWords({ ...AIR, temp_c: null, rh_pct: null, note: "fog" })).toBe("only a note");
  });
});

describe("the air of a reading", () => {
  // psychrolib 2.5.0: 18 °C at 90 % has its dew point at 16.336 °C and a deficit of 0.2064 kPa.
  test("has the dew point and the deficit of the reference", () => {
    const air = airOf(AIR);
    expect(air?.dew_c).toBeCloseTo(16.336, 2);
    expect(air?.deficit_kpa).toBeCloseTo(0.2064, 3);
  });

  test("is said to dry harder the drier it is", () => {
    const means = [99, 88, 70, 40].map((rh_pct) => airOf({ ...AIR, rh_pct })?.means.split(".")[0]);
    expect(new Set(means).size).toBe(4);
  });

  test("cannot be said without its temperature or its humidity", () => {
    expect(airOf({ ...AIR, rh_pct: null })).toBeNull();
    expect(airOf({ ...AIR, temp_c: null })).toBeNull();
    expect(airOf({ ...AIR, rh_pct: 0 })).toBeNull();
  });
});
