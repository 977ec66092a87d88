/** The arithmetic of keeping, on the same worked examples as the server's. */
import { describe, expect, it } from "vitest";
import air from "../../fixtures/calc/air.json";
import drying from "../../fixtures/calc/drying.json";
import extracts from "../../fixtures/calc/extracts.json";
import rehydration from "../../fixtures/calc/rehydration.json";
import sealing from "../../fixtures/calc/sealing.json";
import * as air_functions from "../../static/src/calc/air";
import * as drying_functions from "../../static/src/calc/drying";
import { published_prior } from "../../static/src/calc/estimates";
import * as extract_functions from "../../static/src/calc/extracts";
import * as rehydration_functions from "../../static/src/calc/rehydration";
import * as sealing_functions from "../../static/src/calc/sealing";
import { type Call, check, check_call } from "./worked";

/** As check_call, for arguments with lists in them; JSON writes all their numbers. */
function check_lists(example: Call, functions: object): void {
  const call = Reflect.get(functions, example.function) as (...args: unknown[]) => unknown;
  check(example, () => call(...Object.values(example.args)));
}

const has_list = (example: Call): boolean => /\[/.test(JSON.stringify(example.args));

function check_any(example: Call, functions: object): void {
  if (has_list(example)) check_lists(example, functions);
  else check_call(example, functions);
}

describe("air", () => {
  it.each(air.cases as unknown as Call[])("$name", (example) => check_any(example, air_functions));
});

describe("sealing", () => {
  it.each(sealing.cases as unknown as Call[])("$name", (example) => check_any(example, sealing_functions));
});

describe("soaking back", () => {
  it.each(rehydration.cases as unknown as Call[])("$name", (example) =>
    check_any(example, rehydration_functions),
  );
});

describe("extracts", () => {
  it.each(extracts.cases as unknown as Call[])("$name", (example) => check_any(example, extract_functions));
});

describe("constant weight", () => {
  it.each(drying.weighings as unknown as Call[])("$name", (example) => check_any(example, drying_functions));
});

describe("a mixed load", () => {
  it.each(drying.loads as unknown as Call[])("$name", (example) => check_any(example, drying_functions));

  it("is shared out so that the shares sum to exactly what came out, forwards and backwards", () => {
    for (let load = 1; load <= 300; load += 1) {
      const wet = Object.fromEntries(
        Array.from({ length: 1 + (load % 6) }, (_, pick) => [
          `pick ${pick}`,
          ((load * 7919 + pick * 104729) % 5000) / 10 + 0.1,
        ]),
      );
      const dry_g = (Object.values(wet).reduce((sum, grams) => sum + grams, 0) * (1 + (load % 97))) / 1000;
      const shares = Object.values(drying_functions.allocate_dry_g(wet, dry_g));
      expect(shares.reduce((sum, share) => sum + share, 0)).toBe(dry_g);
      expect(shares.reduceRight((sum, share) => sum + share, 0)).toBe(dry_g);
    }
  });
});

interface EstimateCase {
  name: string;
  species: string;
  history: [number, number][];
  expect?: unknown;
  within?: number;
  refuses?: string;
}

describe("dry-down estimate", () => {
  it.each(drying.estimates as unknown as EstimateCase[])("$name", (example) =>
    check(example, () =>
      drying_functions.estimate_dry_down(example.history, published_prior(example.species)),
    ),
  );

  it("takes no species from the names every object has", () => {
    expect(published_prior("constructor")).toEqual(published_prior("ganoderma-lucidum"));
  });
});

describe("errors of keeping", () => {
  it("are each called by the name of their class", () => {
    const modules = [
      air_functions,
      drying_functions,
      extract_functions,
      rehydration_functions,
      sealing_functions,
    ];
    const classes = modules
      .flatMap((functions) => Object.entries(functions) as [string, unknown][])
      .filter((entry): entry is [string, new (message: string) => Error] =>
        String(entry[1]).startsWith("class "),
      );
    expect(classes.length).toBeGreaterThan(10);
    for (const [name, Named] of classes) expect(new Named("").name).toBe(name);
  });
});
