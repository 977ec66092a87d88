/** The words of a history, and the acts it offers. */
import type { Id, Kind } from "../../records/types";
import type { Change } from "../../store";
import { stampWords } from "../dates";
import { farm, isOwner, mayPick, now, store } from "../here";
import { fieldName } from "../record_kinds";
import { recordWords, valueWords } from "../record_words";
import { write } from "../saving";
import type { Part, Told, Values } from "./changes";

const OWNERS: ReadonlySet<Kind> = new Set(["supplier", "variety", "place", "delivery", "block"]);

/** Whether this person may change such a record; the server decides again. */
export function mayWrite(kind: Kind): boolean {
  return OWNERS.has(kind) ? isOwner.value : mayPick.value;
}

export function historyOf(kind: Kind, id: Id): string {
  return `#/history/${kind}/${id}`;
}

/** "you (shed phone)" */
export function byWords({ by, phone }: Told): string {
  const who = by ? (by.you ? "you" : by.name) : "somebody who has left";
  return phone ? `${who} (${phone})` : who;
}

/** "Olga, 3 May 08:10" */
export function writtenWords(change: Told): string {
  const who = change.by ? (change.by.you ? "you" : change.by.name) : "somebody who has left";
  return `${who}, ${stampWords(change.at, now.value)}`;
}

/** "Mass", "Coolest, °C": masses bring their unit with them. */
export function nameWords(field: string): string {
  return fieldName(field).replace(" in grams", "");
}

/** As it is said elsewhere; another record that has no name of its own is told as what it is. */
export function wordsOf(field: string, value: unknown): string {
  const named = field in farm.value ? store().rows.value.get(String(value)) : undefined;
  if (named && !("name" in named.fields || "label" in named.fields)) return recordWords(named);
  return valueWords(field, value) || "nothing";
}

const LONG = 20;

/** "Take 430 g", or "Take these values" where it is more than a word. */
export function takeWords({ shown }: Part): string {
  const [first, second] = shown;
  if (second) return "Take these values";
  const words = first ? valueWords(first.field, first.value) : "";
  return words && words.length <= LONG ? `Take ${words}` : "Take this value";
}

/** Writes the values again, as a change of its own that can be taken back. */
export function take(kind: Kind, id: Id, fields: Values, home?: string): Promise<boolean> {
  const [name, second] = Object.keys(fields).filter((each) => !each.endsWith("typed"));
  const words =
    name && !second
      ? `${nameWords(name)}: ${wordsOf(name, fields[name])} stands now, on this phone.`
      : "These values stand now, on this phone.";
  return write({ verb: "patch", kind, id, fields } as Change, words, home);
}
