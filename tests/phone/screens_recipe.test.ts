import { beforeEach, expect, test, vi } from "vitest";
import { answer, litresToPour } from "../../static/src/screens/soaking/recipe_answer";
import { finished } from "./drying_cast";
import { VARIETY } from "./farm_cast";
import { JAR, jar, opens, trial, weighing } from "./soaking_cast";

vi.hoisted(() => vi.stubGlobal("location", { hash: "" }));

const SOAKED = [weighing(5, 80), weighing(15, 120), weighing(30, 140), weighing(60, 151)];

beforeEach(() => opens(jar(), trial(), ...SOAKED));

test("a recipe in fresh ones is told the dried grams, likeliest by the published water content", () => {
  const { found } = answer("fresh", 400, JAR);
  // 89.18 % water fresh (USDA SR, NDB 11987), 3 to 10 % dried (common practice): 8.3 to 9.0 to 1.
  expect(found.value).toBeGreaterThan(400 / 9.0);
  expect(found.value).toBeLessThan(400 / 8.3);
  expect(found.low).toBeLessThan(found.value);
  expect(found.basis).toContain("none of yours yet");
});

test("a jar whose load was weighed wet and dried is reckoned by that load alone, with no range", () => {
  opens(jar({ drying: "a" }), ...finished("a", 830, 92));
  const { found } = answer("dried", 58, JAR);
  expect(found).toMatchObject({ basis: "its own load", low: found.value, high: found.value });
  expect(found.value).toBeCloseTo(523.26, 2); // 58 x 830/92
});

test("there and back it is the same mass", () => {
  const dried = answer("fresh", 400, JAR).found.value;
  expect(answer("dried", dried, JAR).found.value).toBeCloseTo(400, 6);
});

test("the time and the water come from the trial of that jar", () => {
  const { soak, dry_g } = answer("fresh", 400, JAR);
  expect(soak?.own).toBe(true);
  expect(soak?.water_g).toBeCloseTo(dry_g * ((soak?.ratio ?? 0) - 1), 6);
});

test("a variety takes the trial of a jar that holds it", () => {
  expect(answer("fresh", 400, VARIETY).soak).toMatchObject({ own: false });
});

test("mushrooms of no known kind have no trial, and take in at most what drying took", () => {
  const found = answer("dried", 30, "");
  expect(found.soak).toBeNull();
  expect(found.most_water_g).toBeCloseTo(found.found.value - 30, 6);
  expect(found.found.basis).toContain("other kinds");
});

test("a trial without a curve tells no time", () => {
  opens(jar(), trial(), weighing(5, 80));
  expect(answer("fresh", 400, JAR).soak).toBeNull();
});

test.each([
  [20, "50 mL"],
  [60, "100 mL"],
  [180, "0.3 L"],
  [420, "0.7 L"],
])("%d mL taken up ask for %s, so that they stay covered", (water_g, words) => {
  expect(litresToPour(water_g)).toBe(words);
});
