/** What the phone shows of the operations in fixtures/sync is what the server made of them; its tests read them too. */
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { replay, type Unsettled } from "../../static/src/records/replay";
import { type Confirmed, KINDS, type Op } from "../../static/src/records/types";

interface Recorded {
  after?: string; // the file whose operation made the row
  operation: Op;
  result: { seq: number; lost_fields: string[] };
  fields: Record<string, unknown>; // the row as the server sends it afterwards
}

const FOLDER = new URL("../../fixtures/sync/", import.meta.url);
const FILES = readdirSync(FOLDER).filter((name) => name.endsWith(".json"));
const CORRECTIONS = FILES.filter((name) => told(name).after !== undefined);

function told(name: string): Recorded {
  return JSON.parse(readFileSync(new URL(name, FOLDER), "utf8"));
}

/** The record's whole exchange, oldest first. */
function exchange(name: string): Recorded[] {
  const file = told(name);
  return file.after === undefined ? [file] : [told(file.after), file];
}

const unsent = ({ operation }: Recorded): Unsettled => ({ op: operation, acked: null });
const answered = ({ operation, result }: Recorded): Unsettled => ({
  op: operation,
  acked: result.seq,
  lost: result.lost_fields,
});

/** The row as the next pull brings it. */
function pulled({ operation, result, fields }: Recorded): Confirmed {
  const row = { kind: operation.kind, id: operation.row, seq: result.seq, deleted: false, author: null };
  return { ...row, fields } as unknown as Confirmed;
}

const INSTANT = /^\d{4}-\d\d-\d\dT[\d:.]+Z$/;

/** Phone and server write one moment with three and with six decimals; a field an older phone lacks is empty. */
function meant(fields: object | undefined): Record<string, unknown> {
  const said = Object.entries(fields ?? {}).filter(([, value]) => value !== null);
  return Object.fromEntries(
    said.map(([name, value]) => [name, INSTANT.test(value) ? Date.parse(value) : value]),
  );
}

describe("a phone shows what the server recorded", () => {
  test.each(FILES)("before anything was sent: %s", (name) => {
    const row = replay(undefined, exchange(name).map(unsent));
    expect(meant(row?.fields)).toEqual(meant(told(name).fields));
  });

  test.each(FILES)("answered and not yet read back: %s", (name) => {
    const row = replay(undefined, exchange(name).map(answered));
    expect(meant(row?.fields)).toEqual(meant(told(name).fields));
  });

  test.each(FILES)("under its own kind and id: %s", (name) => {
    const { kind, row } = told(name).operation;
    expect(replay(undefined, exchange(name).map(unsent))).toMatchObject({ kind, id: row, deleted: false });
  });

  test.each(CORRECTIONS)("of a record that was read back and then corrected: %s", (name) => {
    const [before, correction] = exchange(name) as [Recorded, Recorded];
    for (const change of [unsent(correction), answered(correction)]) {
      const row = replay(pulled(before), [answered(before), change]);
      expect(meant(row?.fields)).toEqual(meant(correction.fields));
    }
  });

  test.each(CORRECTIONS)("and of a row as new as its answer nothing but that row: %s", (name) => {
    const [before, correction] = exchange(name) as [Recorded, Recorded];
    const other = { ...pulled(before), seq: correction.result.seq }; // had the correction been outlived
    expect(replay(other, exchange(name).map(answered))).toEqual(other);
  });
});

test.each(KINDS)("an adding and a correction of a %s are recorded", (kind) => {
  const recorded = FILES.map((name) => told(name).operation).filter((op) => op.kind === kind);
  expect(new Set(recorded.map((op) => op.verb))).toEqual(new Set(["add", "patch"]));
});
