import { beforeEach, expect, test, vi } from "vitest";
import type { Standing } from "../../static/src/records/farm_view";
import { finished, load, part, weighed } from "./drying_cast";
import { block, pick, row } from "./farm_cast";
import { AT, extract, JAR, jar, opens, step, trial, weighing } from "./soaking_cast";

vi.hoisted(() => vi.stubGlobal("location", { hash: "" }));

const { recordWords, valueWords } = await import("../../static/src/screens/record_words");

const taking = row("taking", "a", { jar: JAR, at: AT, mass_g: 20, typed: "20 g", use: "given", note: "" });
const whole = part("p", 340, { pick: "k", variety: null });

beforeEach(() => opens(block(), pick("k", "2026-05-03T07:40:00Z"), load(), jar(), trial(), extract()));

test.each<[Standing, string]>([
  [load(), "load of 3 May"],
  [whole, "part of a load, 340 g of K7M3P"],
  [part("q", 450), "part of a load, 450 g of Grey oyster"],
  [weighed(2, 600), "weighing of a load, 600 g of 3 May"],
  [jar({ what: "Caps" }), "jar, 7KQ4M Caps"],
  [taking, "taking from a jar, 20 g of 7KQ4M"],
  [trial(), "soaking trial, 30 g of 7KQ4M"],
  [weighing(10, 90), "weighing of a soaking trial, 90 g after 10 min"],
  [extract(), "extract, Winter extract"],
  [step("strained", AT, 400), "step of an extract, strained of Winter extract"],
])("a record of keeping is called by what the grower knows of it: %#", (record, words) => {
  expect(recordWords(record)).toMatch(words);
});

test("a part of a load that is not here yet is still named", () => {
  const [, lost] = finished("elsewhere", 300, 30);
  opens();
  expect(recordWords(lost as Standing)).toBe("part of a load, 300 g of Grey oyster");
});

test("the codes of keeping are said in words", () => {
  const said = [
    valueWords("method", "freeze"),
    valueWords("use", "thrown_out"),
    valueWords("cooled", false),
    valueWords("what", "strained"),
    valueWords("drying", "l"),
  ];
  expect(said).toEqual(["Freeze-dryer", "Thrown out", "no", "Strained", "load"]);
});
