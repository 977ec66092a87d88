/** Volumes and plain numbers as they are typed into the forms of soaking trials and extracts. */
import { readNumber } from "../../records/typed_numbers";
import type { Understood } from "./typed_mass";

const ML: Record<string, number> = { ml: 1, cl: 10, dl: 100, l: 1000 };
const WORDS = /^([0-9.,]+) ?(ml|cl|dl|l|(?:(milli)?lit(?:er|re)s?))?$/;
const LEAST_BARE = 10; // below, a bare number was likely meant in litres (our rule)
const MOST_ML = 1_000_000;

/** "500", "500 ml", "1,5 L"; null where nothing is typed. */
export function readVolume(text: string): Understood<number | null> {
  const plain = text.trim().toLowerCase().replace(/\.$/, "");
  if (plain === "") return { value: null };
  const [, digits = "", spelt = "", milli] = WORDS.exec(plain) ?? [];
  const word = !spelt.includes("lit") ? spelt : milli ? "ml" : "l";
  if (/^[1-9][0-9]{0,2}[.,][0-9]{3}$/.test(digits) && word !== "l")
    return { wrong: `“${text.trim()}” may be read two ways: write it like 1250 mL or 1.25 L.` };
  const number = readNumber(digits, 0, MOST_ML) ?? Number.NaN;
  if (!(number > 0)) return { wrong: `“${text.trim()}” is no volume: write it like 500 mL or 1.5 L.` };
  if (word === "" && number < LEAST_BARE)
    return { wrong: `Is “${digits}” in litres? Write ${digits} L or ${digits} mL.` };
  const ml = number * (ML[word] ?? 1);
  if (ml > MOST_ML) return { wrong: `“${text.trim()}” is more than ${MOST_ML / 1000} L: check it.` };
  return { value: Math.round(ml * 1000) / 1000 };
}

export function volumeText(ml: number | null): string {
  return ml === null ? "" : `${ml} mL`;
}

/** "420 mL", "1.25 L" */
export function volumeWords(ml: number): string {
  return volumeParts(ml).join(" ");
}

export function volumeParts(ml: number): [digits: string, unit: string] {
  if (ml >= 999.5) return [(ml / 1000).toFixed(2).replace(/0$/, ""), "L"];
  return [ml.toFixed(0), "mL"];
}

/** A number of a field, or the sentence that names what was typed. */
export function readWithin(
  text: string,
  least: number,
  most: number,
  what: string,
): Understood<number | null> {
  const value = readNumber(text, least, most);
  return Number.isNaN(value)
    ? { wrong: `“${text.trim()}” is no ${what} from ${least} to ${most}.` }
    : { value };
}

/** Only what went wrong, by field. */
export function faultsOf<F extends string>(
  read: Partial<Record<F, { wrong?: string | undefined } | string>>,
): Partial<Record<F, string>> {
  const all = Object.entries(read) as [F, { wrong?: string } | string][];
  const wrong = all.map(([field, each]) => [field, typeof each === "string" ? each : each.wrong] as const);
  return Object.fromEntries(wrong.filter(([, words]) => words)) as Partial<Record<F, string>>;
}
