/** Which of a farm's records the calculations of keeping take, on the same worked examples as the server's. */
import { describe, expect, it } from "vitest";
import kept from "../../fixtures/calc/kept.json";
import * as brews from "../../static/src/calc/brews";
import * as jars from "../../static/src/calc/jars";
import * as loads from "../../static/src/calc/loads";
import * as runs from "../../static/src/calc/runs";
import * as trials from "../../static/src/calc/trials";
import { type Call, check } from "./worked";

/** Of two_stage the examples name some fields only. */
function named(example: Call, result: unknown): unknown {
  if (example.function !== "two_stage") return result;
  const wanted = Object.keys(example.expect as object);
  return Object.fromEntries(wanted.map((name) => [name, Reflect.get(result as object, name)]));
}

const functions = { ...brews, ...jars, ...loads, ...runs, ...trials };

describe("what the calculations of keeping take", () => {
  it.each(kept.cases as unknown as Call[])("$name", (example) => {
    const call = Reflect.get(functions, example.function) as (...args: unknown[]) => unknown;
    check(example, () => named(example, call(...Object.values(example.args))));
  });

  it("takes no variety from the names every object has", () => {
    const none = functions.dry_down([], [], "constructor", null, {});
    expect(none.basis).toBe("published water content of other kinds, none of yours yet");
  });
});
