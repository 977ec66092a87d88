/** A record and a field's value in a few words, wherever they are spoken of away from their own screen. */
import type { Standing } from "../records/farm_view";
import type { Id, Kind, Op, Step, What } from "../records/types";
import { dayOf, dayWords, localDay, stampWords } from "./dates";
import { farm, mass, now, store } from "./here";
import { CONTAINERS, CUTS, METHODS, MUSHROOMS, STEPS, USES } from "./keeping_words";
import { kindWords, VERB_WORDS } from "./record_kinds";
import { BASES, CONTAMINATIONS, capital, FORMS, HANDLINGS, STAGES, WHATS } from "./words";

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
  const kept = keptWords(kind, fields);
  if (kept !== null) return `${kindWords(kind)}${kept.startsWith("of ") ? ` ${kept}` : kept && `, ${kept}`}`;
  const block = farm.value.block.get(kind === "block" ? id : String(fields.block));
  const label = block?.fields.label ?? (typeof fields.label === "string" ? fields.label : "");
  const parts = [
    typeof fields.wet_g === "number" && kind === "pick" && mass(fields.wet_g),
    typeof fields.name === "string" && fields.name,
    typeof fields.received === "string" && `of ${dayWords(fields.received, localDay(new Date()))}`,
    label && (kind === "block" || kind === "happening" ? label : `of ${label}`),
  ];
  const what = parts.filter(Boolean).join(" ");
  const name = kind === "happening" && WHATS[fields.what as What]?.toLowerCase();
  return `${name || kindWords(kind)}${what && `, ${what}`}`;
}

/** What is said of a record of keeping, or null for any other kind. */
function keptWords(kind: Kind, fields: Values): string | null {
  if (kind === "drying" || kind === "drying_weighing" || kind === "drying_part")
    return loadWords(kind, fields);
  if (kind === "jar") return said(fields.label, fields.what);
  if (kind === "taking") return said(grams(fields.mass_g), of(farm.value.jar.get(String(fields.jar))));
  if (kind === "trial") return said(grams(fields.dry_g), of(farm.value.jar.get(String(fields.jar))));
  if (kind === "trial_weighing") return said(grams(fields.drained_g), `after ${fields.minutes} min`);
  if (kind === "reading") return said(of(farm.value.place.get(String(fields.place))));
  if (kind !== "extract_step") return null;
  const step = STEPS[fields.what as Step]?.toLowerCase();
  return said(step, of(farm.value.extract.get(String(fields.extract))));
}

function loadWords(kind: Kind, fields: Values): string {
  const load = kind === "drying" ? fields : farm.value.drying.get(String(fields.drying))?.fields;
  const day = load && `of ${dayWords(dayOf(String(load.started)), localDay(new Date(now.value)))}`;
  if (kind === "drying") return said(day);
  if (kind === "drying_weighing") return said(grams(fields.mass_g), day);
  const pick = farm.value.pick.get(String(fields.pick));
  const block = farm.value.block.get(pick?.fields.block ?? "");
  return said(grams(fields.wet_g), of(block?.row ?? farm.value.variety.get(String(fields.variety))));
}

function grams(value: unknown): string {
  return typeof value === "number" ? mass(value) : "";
}

function of(row: Standing | undefined): string {
  return row ? `of ${nameOf(row)}` : "";
}

function said(...parts: unknown[]): string {
  return parts.filter(Boolean).join(" ");
}

const CODES: Record<string, Readonly<Record<string, string>>> = {
  form: FORMS,
  handling: HANDLINGS,
  stage: STAGES,
  contamination: CONTAMINATIONS,
  method: METHODS,
  cut: CUTS,
  container: CONTAINERS,
  use: USES,
  mushroom: MUSHROOMS,
  what: { ...WHATS, ...STEPS },
  dry_basis: Object.fromEntries(Object.entries(BASES).map(([key, { name }]) => [key, name])),
};

const DAYS = new Set(["received", "packed", "best_before"]);
const INSTANTS = new Set(["at", "until", "taken", "started", "ended"]);

/** "Cellar", "3 kg", "3 May 07:39"; "" for nothing. */
export function valueWords(field: string, value: unknown): string {
  if (value === null || value === undefined || value === "") return "";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "number") return field.endsWith("_g") ? mass(value) : String(value);
  const text = String(value);
  if (field in farm.value) return nameOf(store().rows.value.get(text));
  if (DAYS.has(field)) return dayWords(text, localDay(new Date(now.value)));
  if (INSTANTS.has(field)) return stampWords(text, now.value);
  return CODES[field]?.[text] ?? text;
}

function nameOf(row: Standing | undefined): string {
  const { name, label } = (row?.fields ?? {}) as { name?: string; label?: string };
  return name ?? label ?? (row ? kindWords(row.kind) : "not on this phone");
}
