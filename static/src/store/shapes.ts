/** Small guards for what comes from outside: the server's answers and files. Unknown extra keys are ignored. */
import type { Op } from "../records/types";

export type Thing = Record<string, unknown>;

export function isThing(value: unknown): value is Thing {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

export function isText(value: unknown): value is string {
  return typeof value === "string";
}

/** A whole number that counts something: 0, 1, 2, ... */
export function isCount(value: unknown): value is number {
  return Number.isSafeInteger(value) && (value as number) >= 0;
}

export function isTextOrNull(value: unknown): value is string | null {
  return value === null || isText(value);
}

const VERBS: readonly unknown[] = ["add", "patch", "delete", "restore"];

/** The operation in `value`, or undefined. Kinds this release does not know are let through: the server judges them. */
export function readOp(value: unknown): Op | undefined {
  if (!isThing(value)) return undefined;
  const { id, verb, kind, row, base, at, fields } = value;
  const whole = isText(id) && VERBS.includes(verb) && isText(kind) && isText(row) && isText(at);
  if (!whole || !isCount(base) || !isThing(fields)) return undefined;
  return { id, verb, kind, row, base, at, fields } as Op;
}
