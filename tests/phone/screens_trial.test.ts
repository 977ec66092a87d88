import { beforeEach, describe, expect, test, vi } from "vitest";
import {
  freshTrial,
  readTrial,
  type TrialDraft,
  trialDraftOf,
} from "../../static/src/screens/soaking/trial_draft";
import { cameBack, minutesWords, soakWords, trialFacts } from "../../static/src/screens/soaking/trial_facts";
import {
  askDrained,
  clockMinutes,
  type Drained,
  hoursWords,
} from "../../static/src/screens/soaking/trial_weighing";
import { AT, JAR, jar, opens, trial, trialView, weighing } from "./soaking_cast";

vi.hoisted(() => vi.stubGlobal("location", { hash: "" }));

beforeEach(() => opens(jar()));

function read(more: Partial<TrialDraft>) {
  return readTrial({ ...freshTrial(JAR), mass: "30 g", ...more });
}

describe("a trial that is begun", () => {
  test("from a jar notes what was taken of it in the same save", () => {
    expect(read({})).toMatchObject({
      changes: [
        { verb: "add", kind: "trial", fields: { jar: JAR, dry_g: 30, dry_typed: "30 g" } },
        { verb: "add", kind: "taking", fields: { jar: JAR, mass_g: 30, use: "trial" } },
      ],
    });
  });

  test("notes no taking where it was told not to", () => {
    const found = read({ from: { ...freshTrial(JAR).from, take: "no" } });
    expect(found).toMatchObject({ changes: [{ kind: "trial" }] });
  });

  test("is asked back where it takes more than the jar holds", () => {
    expect(read({ mass: "130 g" })).toMatchObject({
      faults: { mass: expect.stringContaining("holds 120 g") },
    });
  });

  test("is asked back with pounds typed for grams, and saved after a yes", () => {
    const pounds = { mass: "30 lb", from: { jar: "", variety: "", take: "no" } } as const;
    expect(read(pounds)).toMatchObject({ faults: {}, odd: { yes: "Yes, 13.61 kg" } });
    expect(read({ ...pounds, sure: "30 lb" })).toMatchObject({
      changes: [{ fields: { dry_typed: "30 lb" } }],
    });
  });

  test.each([
    ["celsius", { celsius: "140" }, "140"],
    ["water", { water: "1.5" }, "1.5 L or 1.5 mL"],
    ["water", { water: "a cup" }, "a cup"],
    ["mass", { mass: "" }, "Type a mass"],
    ["when", { when: "soon" }, "Choose the day"],
    ["when", { when: "2199-01-01T10:00" }, "still to come"],
  ])("names what is wrong with its %s: %o", (field, more, words) => {
    expect(read(more)).toMatchObject({ faults: { [field]: expect.stringContaining(words) } });
  });

  test("keeps on a correction the mass and the second that nobody touched", () => {
    const seen = trial({ dry_g: 28.3495, dry_typed: "1 oz", at: "2026-11-01T10:00:27Z" });
    expect(readTrial(trialDraftOf(seen))).toMatchObject({
      changes: [{ verb: "patch", fields: { dry_g: 28.3495, dry_typed: "1 oz", at: "2026-11-01T10:00:27Z" } }],
    });
  });
});

describe("a drained weighing", () => {
  const view = () => trialView(weighing(10, 88));
  const drained: Drained = { typed: { digits: "109", unit: "g" }, when: "", confirmed: "", minutes: "20" };

  test("that is plain is not asked back", () => {
    expect(askDrained(drained, 109, view())).toBeNull();
  });

  test("lighter than dry is refused in words", () => {
    expect(askDrained(drained, 20, view())?.words).toContain("below the dry mass, 30 g");
  });

  test("at a time that has one already is asked back with that one", () => {
    expect(askDrained({ ...drained, minutes: "10" }, 109, view())?.words).toContain(
      "At 10 min there is 88 g",
    );
  });

  test("that is corrected does not stand in its own way", () => {
    expect(askDrained({ ...drained, minutes: "10" }, 109, view(), "w10")).toBeNull();
  });

  test("many times the dry mass is asked back, and taken after a yes", () => {
    const pounds = { ...drained, typed: { digits: "109", unit: "lb" } } as const;
    const asked = askDrained(pounds, 49_442, view());
    expect(asked?.words).toContain("is the unit right");
    expect(askDrained({ ...pounds, ...asked?.answers?.[0]?.[1] }, 49_442, view())).toBeNull();
  });

  test("that lost water since an earlier one is asked back", () => {
    expect(askDrained(drained, 60, view())?.words).toContain("At 10 min it weighed 88 g");
  });

  test.each(["", "-3", "soon"])("without its minutes (%s) is asked for them", (minutes) => {
    expect(askDrained({ ...drained, minutes }, 109, view())).toMatchObject({ field: "when" });
  });

  test("is offered the minutes on the clock, unless the trial is of another day", () => {
    expect(clockMinutes(AT, Date.parse("2026-11-01T10:12:20Z"))).toBe("12");
    expect(clockMinutes(AT, Date.parse("2026-11-03T10:00:00Z"))).toBe("");
    expect(clockMinutes(AT, Date.parse("2026-11-01T09:50:00Z"))).toBe("");
  });
});

describe("what a trial says", () => {
  // M(t) = t / (k1 + k2 t) on 30 g with 6.5 % water: k1 6 min, k2 0.3 (the exact slow series of the facts, from m0).
  const exact = [2, 5, 10, 20, 40, 60, 200].map((t) => {
    const moisture = 0.065 / 0.935 + t / (6 + 0.3 * t);
    return weighing(t, 30 * 0.935 * (1 + moisture));
  });

  test("of exact readings is their own curve: nine tenths of the water after 9 k1/k2 minutes", () => {
    const facts = trialFacts(trialView(...exact));
    expect(facts.curve?.k1).toBeCloseTo(6, 6);
    expect(facts.curve?.k2).toBeCloseTo(0.3, 8);
    expect(facts.nearly).toBeCloseTo(180, 4);
    expect(soakWords(facts)).toContain("Soak about 3 h");
  });

  test("names a time beyond the last weighing as such", () => {
    const facts = trialFacts(trialView(...exact.slice(0, 6)));
    expect(soakWords(facts)).toContain("Your last weighing was at 60 min");
  });

  test("of two weighings is no curve, in the calculation's words", () => {
    const facts = trialFacts(trialView(weighing(5, 66), weighing(10, 88)));
    expect(facts.curve).toBeNull();
    expect(facts.refusal).toContain("three");
    expect(facts.soaked_ratio).toBeCloseTo(88 / 30, 9);
  });

  test("of water that never levels off is no curve", () => {
    const rising = [10, 20, 30, 40].map((t) => weighing(t, 30 + t ** 1.5));
    expect(trialFacts(trialView(...rising)).refusal).toContain("does not level off");
  });

  test("leaves a weighing lighter than dry, from another phone, out of its ratios", () => {
    expect(trialFacts(trialView(weighing(5, 20))).points).toMatchObject([{ ratio: null }]);
  });

  test("gives the share of the fresh mass with its ground: USDA SR, NDB 11987, 89.18 % water", () => {
    const back = cameBack(trialView(), 150);
    expect(back?.share).toBeCloseTo((150 / 30) * ((100 - 89.18) / (100 - 6.5)), 9);
    expect(back?.ground).toContain("NDB 11987");
  });

  test.each([
    [7.4, "7 min"],
    [33, "35 min"],
    [129, "2 h 10 min"],
    [180, "3 h"],
    [4400, "3 days"],
  ])("calls %d minutes %s", (minutes, words) => {
    expect(minutesWords(minutes)).toBe(words);
  });
});

test.each([
  [44, "44 min"],
  [104, "1 h 44 min"],
  [120, "2 h"],
  [0, "0 min"],
])("%i minutes in the water are told as %s", (minutes, words) => {
  expect(hoursWords(minutes)).toBe(words);
});
