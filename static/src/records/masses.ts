/**
 * Masses as people type them: 340 g, 12,5 kg, 1 lb 3.5 oz, 2 lb 1 1/2 oz.
 *
 * What cannot be read in one way only is asked back rather than guessed. Limits on the size are the caller's.
 * The server reads the same texts in harvestlog/blocks/masses.py, checked on the same examples.
 */
export const UNITS = ["g", "kg", "oz", "lb"] as const;
export type Unit = (typeof UNITS)[number];

/** Grams, rounded to 0.001 g, and what was typed. */
export interface Mass {
  grams: number;
  typed: string;
}

/** Why what was typed is not taken: a code for programs and a sentence for the grower. */
export interface MassRefusal {
  code:
    | "empty"
    | "too_long"
    | "not_a_mass"
    | "unknown_unit"
    | "unit_missing"
    | "negative"
    | "zero"
    | "two_decimals"
    | "ambiguous"
    | "wrong_order"
    | "asked_back";
  sentence: string;
}

// NIST Handbook 44, Appendix C.
const GRAMS: Record<Unit, number> = { g: 1, kg: 1000, oz: 28.349523125, lb: 453.59237 };
const MOST_CHARACTERS = 40;
const SPELLINGS: Record<Unit, string> = {
  g: "g gm gram grams",
  kg: "kg kgs kilo kilos kilogram kilograms",
  oz: "oz ounce ounces",
  lb: "lb lbs pound pounds",
};
const WORDS = new Map(
  UNITS.flatMap((unit) => SPELLINGS[unit].split(" ").map((word) => [word, unit] as const)),
);
// Larger unit first, and how many of the smaller make one of it.
const PAIRS = new Map([
  ["lb oz", 16],
  ["kg g", 1000],
]);
const VULGAR = {
  "½": "1/2",
  "¼": "1/4",
  "¾": "3/4",
  "⅓": "1/3",
  "⅔": "2/3",
  "⅛": "1/8",
  "⅜": "3/8",
  "⅝": "5/8",
  "⅞": "7/8",
};

const SPACE = /[ \t\r\n\u00a0\u2009\u202f]+/g; // the same in both languages, which \s is not
const FRACTION = /^(?:([0-9]+) )?([0-9]+)\/([0-9]+)$/;
// A number, then the word that may follow it.
const PART = /((?:[0-9]+ )?[0-9]+\/[0-9]+|[0-9.,]*[0-9][0-9.,]*) ?([a-z]+\.?)?(?: |$|(?=[0-9]))/y;
const GROUPED = /^[1-9][0-9]{0,2}(?:(?:,[0-9]{3})+(?:\.[0-9]+)?|(?:\.[0-9]{3})+(?:,[0-9]+)?)$/;
const EITHER_WAY = /^([1-9][0-9]{0,2})([.,])([0-9]{3})$/;
const PLAIN = /^(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+)$/;

type Part = readonly [digits: string, word: string];

class Refused extends Error {
  constructor(
    readonly code: MassRefusal["code"],
    readonly reason: string,
  ) {
    super(reason);
  }
}

/** The mass typed in `text`, in grams; `unit_hint` is the unit of a number that names none. A refusal is returned, not thrown. */
export function parse_mass(text: string, unit_hint: Unit): Mass | MassRefusal {
  const typed = text.replace(SPACE, " ").replace(/^ | $/g, "");
  if (!typed) return { code: "empty", sentence: "Type a mass, for example 340 g." };
  if ([...typed].length > MOST_CHARACTERS) {
    const start = [...typed].slice(0, MOST_CHARACTERS).join("");
    return { code: "too_long", sentence: `"${start}…" is too long for a mass: type it like 340 g.` };
  }
  try {
    return { grams: grams_of(parts_of(tidied(typed)), unit_hint), typed: text };
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    return { code: error.code, sentence: `"${typed}"${error.reason}` };
  }
}

/** Lower case, with vulgar fractions spelt out. */
function tidied(typed: string): string {
  let tidy = typed.toLowerCase().replaceAll("\u2044", "/");
  for (const [sign, spelt] of Object.entries(VULGAR)) tidy = tidy.replaceAll(sign, ` ${spelt}`);
  return tidy.replace(/ +/g, " ").replace(/^ | $/g, "");
}

/** Numbers with the word behind each ("" where none is), from the whole of the text or not at all. */
function parts_of(tidy: string): Part[] {
  if (/^[-\u2212\u2013]/.test(tidy))
    throw new Refused("negative", " is below zero: type the mass without a minus.");
  const parts: Part[] = [];
  PART.lastIndex = 0;
  while (PART.lastIndex < tidy.length) {
    const match = PART.exec(tidy);
    if (!match) throw no_mass();
    parts.push([match[1] ?? "", (match[2] ?? "").replace(/\.$/, "")]);
  }
  return parts;
}

function grams_of(parts: readonly Part[], unit_hint: Unit): number {
  const [first, second] = parts;
  if (!first || parts.length > 2) throw no_mass();
  const rounded = Math.floor((second ? pair(first, second) : single(first, unit_hint)) * 1000 + 0.5) / 1000;
  if (rounded === 0)
    throw new Refused("zero", " is nothing: type what the scale shows, or leave the record out.");
  return rounded;
}

function single([digits, word]: Part, unit_hint: Unit): number {
  const unit = word ? unit_of(word) : unit_hint;
  return value_of(digits, unit) * GRAMS[unit];
}

function pair([large, large_word]: Part, [small, small_word]: Part): number {
  if (!large_word) throw no_mass();
  const large_unit = unit_of(large_word);
  if (!small_word)
    throw new Refused("unit_missing", " ends in a number with no unit: add it, for example oz or g.");
  const small_unit = unit_of(small_word);
  const most = PAIRS.get(`${large_unit} ${small_unit}`);
  if (!most)
    throw new Refused("wrong_order", ": use one unit, or pounds and then ounces, for example 1 lb 3.5 oz.");
  if (!/^[0-9]+$/.test(large))
    throw new Refused(
      "asked_back",
      `: write whole ${large_unit} before ${small_unit}, or ${large_unit} alone.`,
    );
  const value = value_of(small, small_unit);
  if (value >= most)
    throw new Refused(
      "asked_back",
      `: ${most} ${small_unit} make 1 ${large_unit} more. Is the ${large_unit} right?`,
    );
  return Number(large) * GRAMS[large_unit] + value * GRAMS[small_unit];
}

function value_of(digits: string, unit: Unit): number {
  const fraction = FRACTION.exec(digits);
  if (fraction) return fraction_of(Number(fraction[1] ?? 0), Number(fraction[2]), Number(fraction[3]));
  const either = EITHER_WAY.exec(digits);
  // Scales show 1.250 kg, and nobody weighs 1250 kg at once; a comma, or grams, may mean either.
  if (either && (either[2] === "," || unit === "g")) {
    const small = `${either[1]}.${either[3]}`.replace(/\.?0+$/, "");
    throw new Refused("ambiguous", `: is that ${small} or ${either[1]}${either[3]}? Type it so.`);
  }
  if (GROUPED.test(digits) && !either) return grouped(digits);
  if (!PLAIN.test(digits))
    throw new Refused("two_decimals", " has more than one decimal mark: type it like 12.5.");
  return Number(digits.replace(",", "."));
}

function grouped(digits: string): number {
  const marks = digits.replace(/[0-9]/g, "");
  const whole = digits.replaceAll(marks.charAt(0), "");
  return Number(whole.replace(marks.slice(-1), "."));
}

function fraction_of(whole: number, above: number, below: number): number {
  if (below === 0) throw no_mass();
  // "11/2" is as likely a one and a half without its space as five and a half.
  if (above >= below)
    throw new Refused("ambiguous", `: type ${above}/${below} as a decimal, or with a space as in 1 1/2.`);
  return whole + above / below;
}

function unit_of(word: string): Unit {
  const unit = WORDS.get(word);
  if (!unit) throw new Refused("unknown_unit", `: the unit ${word} is not known here; use g, kg, oz or lb.`);
  return unit;
}

function no_mass(): Refused {
  return new Refused(
    "not_a_mass",
    " is no mass: type a number and a unit, for example 340 g or 1 lb 3.5 oz.",
  );
}

/** The mass for showing, for example 340 g, 1.25 kg, 12.0 oz or 1 lb 3.5 oz. */
export function format_mass(grams: number, unit: Unit): string {
  return mass_parts(grams, unit)
    .map(([digits, word]) => `${digits} ${word}`)
    .join(" ");
}

/**
 * Digits and unit apart, so that the unit can be set smaller.
 *
 * Grams are whole from 10 g up, with one decimal below; kilograms have two decimals and start at 1000 g; ounces
 * have one; pounds are whole with ounces behind. Halves round up.
 */
export function mass_parts(grams: number, unit: Unit): [digits: string, unit: Unit][] {
  if (unit === "kg" && grams >= 1000) return [[decimals(grams / 1000, 2), "kg"]];
  if (unit === "g" || unit === "kg") return [[decimals(grams, scaled(grams, 1) >= 100 ? 0 : 1), "g"]];
  const tenths = scaled(grams / GRAMS.oz, 1);
  if (unit === "oz" || tenths < 160) return [[tenth(tenths), "oz"]];
  return [
    [String(Math.floor(tenths / 160)), "lb"],
    [tenth(tenths % 160), "oz"],
  ];
}

function scaled(value: number, places: number): number {
  return Math.floor(value * 10 ** places + 0.5);
}

function tenth(tenths: number): string {
  return `${Math.floor(tenths / 10)}.${tenths % 10}`;
}

function decimals(value: number, places: number): string {
  // In whole numbers, because the two languages round halves of decimals differently.
  const count = scaled(value, places);
  if (places === 0) return String(count);
  const one = 10 ** places;
  return `${Math.floor(count / one)}.${String(count % one).padStart(places, "0")}`;
}
