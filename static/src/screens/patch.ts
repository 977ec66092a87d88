/** What a form makes of its record: a new one, or a patch of what the person changed. */
import type { Standing } from "../records/farm_view";
import { type FieldsOf, groupOf, type Id, type Kind } from "../records/types";
import { newId } from "../store";
import type { Change } from "../store/api";
import { store } from "./here";

/** A new record; or of one known what its form changed, `seen` being the row that the form was opened with. */
export function written<K extends Kind>(
  kind: K,
  fields: Partial<FieldsOf[K]>,
  seen: Standing<K> | undefined,
): Change {
  const change = seen ? { verb: "patch", id: seen.id, seen } : { verb: "add", id: newId() };
  return { ...change, kind, fields } as Change;
}

/** The refused change that a form corrects, if it was opened for one. */
export function refusedIn(change: Change): Id | undefined {
  return change.verb === "patch" ? (change.seen as Standing | undefined)?.refused?.op : undefined;
}

/** What a form changed of the row it was opened with, and what means something only beside it. */
export function differing(change: Change): Record<string, unknown> {
  const all: Record<string, unknown> = { ...seenIn(change), ...fieldsOf(change) };
  const named = changedIn(change).flatMap((name) => groupOf(change.kind, name));
  return Object.fromEntries(named.filter((name) => name in all).map((name) => [name, all[name]]));
}

export function changedIn(change: Change): string[] {
  const before = seenIn(change);
  return Object.entries(fieldsOf(change))
    .filter(([name, value]) => value !== before[name])
    .map(([name]) => name);
}

function fieldsOf(change: Change): Record<string, unknown> {
  return "fields" in change ? { ...change.fields } : {};
}

function seenIn(change: Change): Record<string, unknown> {
  const seen = change.verb === "patch" ? (change.seen ?? store().rows.peek().get(change.id)) : undefined;
  return { ...seen?.fields };
}
