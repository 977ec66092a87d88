/** Blocks that were put somewhere, as "Moved" is noted of each. */
import type { Id } from "../../records/types";
import { type Change, newId } from "../../store";
import { NOTHING_TOLD } from "../standing";

export function moves(blocks: readonly { id: Id }[], place: Id, at = new Date()): Change[] {
  const told = { ...NOTHING_TOLD, what: "moved", place, at: at.toISOString() } as const;
  return blocks.map(({ id }) => ({
    verb: "add",
    kind: "happening",
    id: newId(),
    fields: { ...told, block: id },
  }));
}
