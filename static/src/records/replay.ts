/** What a phone shows of a row: the row as the server confirmed it, with this phone's own changes played over it. Pure. */
import type { Confirmed, Op } from "./types";

/** A change of this phone. `acked` is the farm's seq under which the server applied it; null until it says so. */
export interface Unsettled {
  op: Op;
  acked: number | null;
  /** fields the server left as another phone wrote them later */
  lost?: readonly string[];
}

/** Where a record stands, in the three words shown to people. */
export type Whereabouts = "on this phone" | "sent" | "needs attention";

/** The row after one change; undefined while there is nothing to change (a patch of a row that never arrived). */
export function applyOp(row: Confirmed | undefined, op: Op): Confirmed | undefined {
  switch (op.verb) {
    case "add":
      // A row that came back from the server holds our fields already, and perhaps another phone's later ones.
      return (
        row ?? {
          kind: op.kind,
          id: op.row,
          seq: 0,
          deleted: false,
          author: null,
          fields: op.fields as Confirmed["fields"],
        }
      );
    case "patch":
      return row && { ...row, fields: { ...row.fields, ...op.fields } as Confirmed["fields"] };
    case "delete":
      return row && { ...row, deleted: true };
    case "restore":
      return row && { ...row, deleted: false };
  }
}

/**
 * Plays changes, in the order they were made, over the confirmed row. A change is left out when the confirmed
 * row is as new as the server's acknowledgement of it: it is in there, and later ones of others with it.
 */
export function replay(
  confirmed: Confirmed | undefined,
  changes: readonly Unsettled[],
): Confirmed | undefined {
  let row = confirmed;
  for (const { op, acked, lost = [] } of changes) {
    const settled = acked !== null && confirmed !== undefined && confirmed.seq >= acked;
    if (!settled) row = applyOp(row, lost.length > 0 ? without(op, lost) : op);
  }
  return row;
}

/** A value that is known to stand nowhere must not be shown as sent. */
function without(op: Op, lost: readonly string[]): Op {
  return {
    ...op,
    fields: Object.fromEntries(Object.entries(op.fields).filter(([name]) => !lost.includes(name))),
  };
}

/** A refused change outweighs an unsent one, and a picture that is not sent keeps its record on this phone. */
export function whereabouts(row: { refused: boolean; unsent: boolean }): Whereabouts {
  if (row.refused) return "needs attention";
  return row.unsent ? "on this phone" : "sent";
}
