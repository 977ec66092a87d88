import { describe, expect, test } from "vitest";
import { replay, type Unsettled, whereabouts } from "../../static/src/records/replay";
import type { Confirmed, Op } from "../../static/src/records/types";
import { PICK, pickFields } from "./cast";

const CONFIRMED: Confirmed<"pick"> = {
  kind: "pick",
  id: PICK,
  seq: 7,
  deleted: false,
  author: "0196a000-0000-7000-8000-0000000000aa",
  fields: pickFields(),
};

function change(
  verb: Op["verb"],
  fields: Partial<typeof CONFIRMED.fields> = {},
  acked: number | null = null,
): Unsettled {
  const op: Op = {
    id: `${verb}-${acked}`,
    verb,
    kind: "pick",
    row: PICK,
    base: 0,
    at: "2026-05-03T07:41:00Z",
    fields,
  };
  return { op, acked };
}

describe("a row with this phone's changes over it", () => {
  test("is what was added, while the server has not confirmed it", () => {
    const row = replay(undefined, [change("add", pickFields({ wet_g: 120 }))]);
    expect(row).toEqual({ ...CONFIRMED, seq: 0, author: null, fields: pickFields({ wet_g: 120 }) });
  });

  test("keeps the fields a patch does not name", () => {
    const row = replay(CONFIRMED, [change("patch", { dry_g: 34 })]);
    expect(row?.fields).toEqual(pickFields({ dry_g: 34 }));
  });

  test("takes the changes in the order they were made", () => {
    const row = replay(CONFIRMED, [change("patch", { note: "first" }), change("patch", { note: "second" })]);
    expect(row?.fields).toEqual(pickFields({ note: "second" }));
  });

  test("stays deleted when it is patched after", () => {
    expect(replay(CONFIRMED, [change("delete"), change("patch", { note: "late" })])?.deleted).toBe(true);
  });

  test("comes back by a restore", () => {
    expect(replay(CONFIRMED, [change("delete"), change("restore")])?.deleted).toBe(false);
  });

  test("is nothing when only a patch of it is known", () => {
    expect(replay(undefined, [change("patch", { note: "of what?" })])).toBeUndefined();
  });

  test("keeps another phone's later value when its own change is in the confirmed row already", () => {
    const theirs = { ...CONFIRMED, seq: 9, fields: pickFields({ note: "theirs, later" }) };
    const row = replay(theirs, [change("patch", { note: "mine, confirmed" }, 8)]);
    expect(row?.fields).toEqual(theirs.fields);
  });

  test("keeps its own acknowledged change until a row as new has arrived", () => {
    const row = replay(CONFIRMED, [change("patch", { note: "mine" }, 8)]);
    expect(row?.fields).toEqual(pickFields({ note: "mine" }));
  });

  test("does not show a value that another phone's later one outlived", () => {
    const acked = change("patch", { note: "mine", wet_g: 350 }, 8);
    const row = replay(CONFIRMED, [{ ...acked, lost: ["note"] }]);
    expect(row?.fields).toEqual(pickFields({ wet_g: 350 }));
  });

  test("is not put back to what was added when its add is sent again", () => {
    const patched = { ...CONFIRMED, fields: pickFields({ note: "from elsewhere" }) };
    expect(replay(patched, [change("add", pickFields())])?.fields).toEqual(patched.fields);
  });

  test("leaves the confirmed row itself untouched", () => {
    replay(CONFIRMED, [change("patch", { note: "changed" }), change("delete")]);
    expect(CONFIRMED).toMatchObject({ deleted: false, fields: { note: "" } });
  });
});

test("a refused change outweighs an unsent one", () => {
  expect(whereabouts({ refused: true, unsent: true })).toBe("needs attention");
});

test("a record is sent when nothing of it waits or was refused", () => {
  expect(whereabouts({ refused: false, unsent: false })).toBe("sent");
});
