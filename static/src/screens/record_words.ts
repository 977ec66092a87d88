/** A record and a field's value in a few words, wherever they are spoken of away from their own screen. */
import type { Standing } from "../records/farm_view";
import type { Id, Kind, Op, What } from "../records/types";
import { dayWords, localDay, stampWords } from "./dates";
import { farm, mass, now, store } from "./here";
import {
  BASES,
  CONTAMINATIONS,
  capital,
  FORMS,
  HANDLINGS,
  kindWords,
  STAGES,
  VERB_WORDS,
  WHATS,
} from "./words";

type Values = Readonly<Record<string, unknown>>;

/** "New pick, 340 g of 7KQ4M", "Pins seen, 7KQ4M" */
export function opWords(op: Op): string {
  const known = store().rows.value.get(op.row)?.fields;
  const words = recordWords({ kind: op.kind, id: op.row, fields: { ...known, ...op.fields } });
  return op.kind === "happening" && op.verb === "add" ? capital(words) : `${VERB_WORDS[op.verb]} ${words}`;
}

/** "pick, 340 g of 7KQ4M" */
export function recordWords({ kind, id, fields: all }: { kind: Kind; id: Id; fields: object }): string {
  const fields = all as Values;
  const block = farm.value.block.get(kind === "block" ? id : String(fields.block));
  const label = block?.fields.label ?? (typeof fields.label === "string" ? fields.label : "");
  const parts = [
    typeof fields.wet_g === "number" && kind === "pick" && mass(fields.wet_g),
    typeof fields.name === "string" && fields.name,
    typeof fields.received === "string" && `of ${fields.received}`,
    label && (kind === "block" || kind === "happening" ? label : `of ${label}`),
  ];
  const what = parts.filter(Boolean).join(" ");
  const name = kind === "happening" && WHATS[fields.what as What]?.toLowerCase();
  return `${name || kindWords(kind)}${what && `, ${what}`}`;
}

const CODES: Record<string, Readonly<Record<string, string>>> = {
  form: FORMS,
  handling: HANDLINGS,
  stage: STAGES,
  contamination: CONTAMINATIONS,
  dry_basis: Object.fromEntries(Object.entries(BASES).map(([key, { name }]) => [key, name])),
};

/** "Cellar", "3 kg", "3 May 07:39"; "" for nothing. */
export function valueWords(field: string, value: unknown): string {
  if (value === null || value === undefined || value === "") return "";
  if (typeof value === "number") return field.endsWith("_g") ? mass(value) : String(value);
  const text = String(value);
  if (field in farm.value) return nameOf(store().rows.value.get(text));
  if (field === "received") return dayWords(text, localDay(new Date(now.value)));
  if (["at", "until", "taken"].includes(field)) return stampWords(text, now.value);
  return CODES[field]?.[text] ?? text;
}

function nameOf(row: Standing | undefined): string {
  const { name, label } = (row?.fields ?? {}) as { name?: string; label?: string };
  return name ?? label ?? (row ? kindWords(row.kind) : "not on this phone");
}
