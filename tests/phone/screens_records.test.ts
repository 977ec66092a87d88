import { describe, expect, test } from "vitest";
import { fieldTime } from "../../static/src/screens/dates";
import {
  confirmKey,
  freshWeighing,
  problem,
  records,
  type Weighing,
  weighingOf,
} from "../../static/src/screens/weighing";
import type { Pair } from "../../static/src/store";
import { BLOCK_ID, happening, pick, viewOf } from "./farm_cast";

const PAIR: Pair = {
  full: { sha256: "f".repeat(64), bytes: new ArrayBuffer(8) },
  thumb: { sha256: "e".repeat(64), bytes: new ArrayBuffer(4) },
  width: 1600,
  height: 1200,
};

function weighing(more: Partial<Weighing> = {}): Weighing {
  return { ...freshWeighing(viewOf(), "g"), wet: { digits: "340", unit: "g" }, ...more };
}

describe("a weighing", () => {
  test("goes into the open flush, weighed the way the last pick was", () => {
    const view = viewOf(
      pick("k", new Date(Date.now() - 3_600_000).toISOString(), { flush: 2, handling: "trimmed" }),
    );
    expect(freshWeighing(view, "kg")).toMatchObject({ flush: 2, handling: "trimmed", wet: { unit: "kg" } });
  });

  test("becomes one pick with what was typed beside the grams", () => {
    const [[made], pictures] = records(weighing({ dry: { digits: "33,5", unit: "g" } }), viewOf());
    const fields = {
      block: BLOCK_ID,
      wet_g: 340,
      typed: "340 g",
      dry_g: 33.5,
      dry_typed: "33,5 g",
      flush: 1,
    };
    expect(made).toMatchObject({ verb: "add", kind: "pick", fields });
    expect(pictures).toEqual([]);
  });

  test("with a photo becomes a pick and a photo that names it, both pictures with them", () => {
    const [[made, photo], pictures] = records(weighing({ photo: { pair: PAIR, stage: "picked" } }), viewOf());
    expect(photo).toMatchObject({ kind: "photo", fields: { pick: made?.id, stage: "picked", width: 1600 } });
    expect(pictures).toEqual([PAIR.thumb, PAIR.full]);
  });

  test("at an earlier time keeps that time", () => {
    const [[made]] = records(weighing({ when: "2026-05-02T06:30" }), viewOf());
    expect(made).toMatchObject({ fields: { at: new Date("2026-05-02T06:30").toISOString() } });
  });
});

describe("a pick that is corrected", () => {
  const before = pick("k", "2026-05-03T07:40:12.345Z");

  test("keeps its time to the second when only the mass changes", () => {
    const changed = { ...weighingOf(before, "g"), wet: { digits: "350", unit: "g" as const } };
    const [[made]] = records(changed, viewOf(before));
    expect(made).toMatchObject({ verb: "patch", id: "k", fields: { at: before.fields.at, wet_g: 350 } });
  });

  test("is compared with the pick as it was when the correcting began, also from a draft", () => {
    const draft = structuredClone({ ...weighingOf(before, "g"), flush: 2 });
    const later = { ...before, seq: 9, fields: { ...before.fields, wet_g: 999, typed: "999 g" } };
    const [[made]] = records(draft, viewOf(later));
    expect(made).toMatchObject({ seen: before, fields: { flush: 2, wet_g: before.fields.wet_g } });
  });

  test("is shown at the time it was picked", () => {
    expect(weighingOf(before, "g").when).toBe(fieldTime(new Date(before.fields.at)));
  });

  test("is not added to itself when its block is asked about", () => {
    const heavy = pick("k", "2026-05-03T07:40:00Z", { wet_g: 2000, typed: "2 kg" });
    expect(problem(weighingOf(heavy, "g"), viewOf(heavy), "k")).toBeNull();
  });
});

describe("what is odd", () => {
  const odd = weighing({ wet: { digits: "40", unit: "kg" } });

  test("is asked until it is confirmed", () => {
    expect(problem(odd, viewOf())?.confirm).toBe("Yes, 40 kg is right");
    expect(problem({ ...odd, confirmed: confirmKey(odd) }, viewOf())).toBeNull();
  });

  test("is asked anew when the figure changes", () => {
    const more = { ...odd, wet: { digits: "41", unit: "kg" as const }, confirmed: confirmKey(odd) };
    expect(problem(more, viewOf())?.confirm).toBe("Yes, 41 kg is right");
  });

  test("about a dried mass is said in the units that were typed, and waits for the save", () => {
    const dry = { digits: "0.05", unit: "oz" } as const;
    const asked = problem(weighing({ wet: { digits: "1", unit: "lb" }, dry }), viewOf());
    expect(asked?.words).toMatch(/^Dried 0\.05 oz from 1 lb is 0\.3 %/);
    expect(asked?.live).toBe(false);
  });

  test("is named beside the dried mass when that is no mass", () => {
    expect(problem(weighing({ dry: { digits: "1,250", unit: "g" } }), viewOf())?.field).toBe("dry");
  });
});

describe("a block that was discarded", () => {
  const view = viewOf(happening("h", "discarded", "2026-05-01T08:00:00Z"));
  const asked = problem(weighing(), view);
  const said = weighing({ confirmed: asked?.yes ?? "" });

  test("is asked about before it is weighed, once", () => {
    expect(asked).toMatchObject({ words: "This block was discarded. Is it the right one?", live: true });
    expect(problem(said, view)).toBeNull();
    expect(problem({ ...said, wet: { digits: "350", unit: "g" } }, view)).toBeNull();
  });

  test("is still asked about an odd figure after that yes", () => {
    const odd = { ...said, wet: { digits: "40", unit: "kg" as const } };
    expect(problem(odd, view)?.confirm).toBe("Yes, 40 kg is right");
  });

  test("is not asked about where an old pick of it is corrected", () => {
    const before = pick("k", "2026-04-30T07:40:00Z");
    const ended = viewOf(before, happening("h", "discarded", "2026-05-01T08:00:00Z"));
    expect(problem(weighingOf(before, "g"), ended, "k")).toBeNull();
  });
});
