/** What a record's history says, cut into what a person can read and take: field by field, group by group. Pure. */
import { groupOf, type Instant, type Kind } from "../../records/types";
import type { Outvoted } from "../../store";

export type Values = Readonly<Record<string, unknown>>;

/** One change, as the server tells it; `at` is the phone's word on when, `received` the server's. */
export interface Told {
  seq: number;
  at: Instant;
  received: Instant | null;
  verb: "add" | "patch" | "delete" | "restore";
  by: { name: string; you: boolean } | null;
  phone: string;
  before: Values;
  after: Values;
  /** what this change said and another phone's later one outlived */
  lost: Values;
  /** fields in which it replaced what its writer cannot have seen */
  unseen?: readonly string[];
}

export interface History {
  changes: readonly Told[];
  more: boolean;
}

export function isHistory(body: unknown): body is History {
  return Array.isArray((body as History | null)?.changes);
}

export interface Part {
  shown: readonly { field: string; was: unknown; value: unknown }[];
  lost: boolean;
  /** of two that did not know of each other, the change whose value stood (or that was replaced), where it is known */
  other: Told | undefined;
  /** what to write to have these values back; null where they stand already */
  take: Values | null;
}

// The picture itself is never exchanged, so its measures are nothing to tell.
const OF_THE_FILE = new Set(["sha256", "thumb_sha256", "width", "height"]);
const isTyped = (field: string) => field.endsWith("typed");
const isEmpty = (value: unknown) => value === null || value === undefined || value === "";

/** What one change said, by groups of fields that mean something only together. `standing`: null where nothing may be written. */
export function partsOf(
  kind: Kind,
  change: Told,
  older: readonly Told[],
  standing: Values | null,
): readonly Part[] {
  const said: Values = { ...change.after, ...change.lost };
  const groups = new Map<string, string[]>();
  for (const name of Object.keys(said)) {
    if (OF_THE_FILE.has(name)) continue;
    const first = groupOf(kind, name)[0] ?? name;
    groups.set(first, [...(groups.get(first) ?? []), name]);
  }
  return [...groups.values()].flatMap((names) => {
    const part = partOf(names, change, older, said, standing);
    return part ? [part] : [];
  });
}

function partOf(
  names: readonly string[],
  change: Told,
  older: readonly Told[],
  said: Values,
  standing: Values | null,
): Part | null {
  const lost = names.some((name) => name in change.lost);
  const before = lost ? change.after : change.before;
  const other = (name: string) =>
    !(isEmpty(before[name]) && isEmpty(said[name])) && before[name] !== said[name];
  const changed = names.filter(other);
  const shown = worded(changed).map((field) => ({ field, was: before[field], value: said[field] }));
  const contested = lost ? changed[0] : changed.find((name) => change.unseen?.includes(name));
  if (shown.length === 0) return null;
  const differs = standing !== null && names.some((name) => said[name] !== standing[name]);
  return {
    shown,
    lost,
    other: contested === undefined ? undefined : writerOf(older, contested),
    take: differs ? Object.fromEntries(names.map((name) => [name, said[name]])) : null,
  };
}

/** What was typed says the same as the grams beside it, unless it alone is another. */
function worded(names: readonly string[]): readonly string[] {
  const read = names.filter((name) => !isTyped(name));
  return read.length > 0 ? read : names;
}

/** Of changes, newest first, the last that wrote this field so that it stood. */
export function writerOf(changes: readonly Told[], field: string): Told | undefined {
  return changes.find(({ after, lost }) => field in after && !(field in lost));
}

/** Whether the row shows what stands: between the server's answer and the next page it still shows what stood before both. */
export function isKnown({ seq = 0 }: Outvoted, row: { seq: number }): boolean {
  return row.seq >= seq;
}

/** Whether there is anything left to tell of it. */
export function isContested(
  outvoted: Outvoted,
  row: { deleted: boolean; fields: object } | undefined,
): boolean {
  if (!row || row.deleted || outvoted.fields.includes("deleted")) return true;
  return contested(outvoted, { ...row.fields }).length > 0;
}

export interface Contested {
  field: string;
  stands: unknown;
  /** undefined where an older release of this app did not keep it */
  mine: unknown;
}

/** Fields of which another value stands than this person wrote; none when they have taken theirs again since. */
export function contested({ fields, mine, kind }: Outvoted, row: Values): readonly Contested[] {
  const told = fields.filter((field) => !(mine && field in mine && mine[field] === row[field]));
  return worded(told)
    .map((field) => ({ field, stands: row[field], mine: mine?.[field] }))
    .filter(({ field, stands, mine: wrote }) => {
      // Of a group whose fields exclude one another the empty ones say nothing.
      return groupOf(kind, field).length < 3 || !(isEmpty(stands) && isEmpty(wrote));
    });
}
