/** The worked examples of fixtures/calc, which the server's tests read too. */
import { expect } from "vitest";

export interface Call {
  name: string;
  function: string;
  args: Record<string, unknown>;
  expect?: unknown;
  within?: number;
  refuses?: string;
  /** the sentence of the refusal, where an example gives it */
  says?: string;
}

const NOT_IN_JSON: Record<string, number> = {
  nan: Number.NaN,
  inf: Number.POSITIVE_INFINITY,
  "-inf": Number.NEGATIVE_INFINITY,
};

/** An argument as the calculation takes it: numbers that JSON cannot write. */
function given(value: unknown): unknown {
  if (typeof value === "string") return NOT_IN_JSON[value] ?? value;
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, given(each)]));
}

/** Whether a result is the expected one, every number in it within the tolerance. */
export function agrees(actual: unknown, expected: unknown, within = 1e-9): boolean {
  if (typeof expected === "number")
    return typeof actual === "number" && Math.abs(actual - expected) <= within;
  if (typeof expected !== "object" || expected === null) return actual === expected;
  if (typeof actual !== "object" || actual === null || Array.isArray(actual) !== Array.isArray(expected))
    return false;
  const names = Object.keys(expected).sort();
  return (
    Object.keys(actual).sort().join() === names.join() &&
    names.every((name) => agrees(Reflect.get(actual, name), Reflect.get(expected, name), within))
  );
}

/** Calls the function an example names, its arguments in their order, and checks its result or its refusal. */
export function check_call(example: Call, functions: object): void {
  const call = Reflect.get(functions, example.function) as (...args: unknown[]) => unknown;
  check(example, () => call(...Object.values(example.args).map(given)));
}

/** Checks what running an example gives: its result, or its refusal by name and in a whole sentence. */
export function check(example: Omit<Call, "function" | "args">, run: () => unknown): void {
  if (example.refuses === undefined) {
    const result = run();
    expect(agrees(result, example.expect, example.within), `${JSON.stringify(result)} is wrong`).toBe(true);
  } else {
    expect(run).toThrow(
      expect.objectContaining({
        name: example.refuses,
        message: example.says ?? expect.stringMatching(/\.$/),
      }),
    );
  }
}
