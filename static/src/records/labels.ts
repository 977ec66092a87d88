/**
 * Label codes of blocks: four characters at will and a fifth that finds a slip.
 *
 * The characters are those that wet hands do not mix up: no 0, O, 1 or I. Each stands for its place in ALPHABET, 0 to
 * 31, an element of the field GF(32) with x^5 + x^2 + 1. The fifth is the sum of the first four, weighted with 2, 4, 8
 * and 16, so every single wrong character and every swap of two unequal neighbours is found.
 */
export const ALPHABET = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
const LENGTH = 5;
const REDUCTION = 0b100101; // x^5 + x^2 + 1, primitive: the powers of 2 run through all 31 non-zero elements

/** Why a text is no label: a code for programs and a sentence for the grower. */
export interface LabelRefusal {
  code: "length" | "character" | "check";
  sentence: string;
}

/** The label of four values from 0 to 31; draw them at random. Throws RangeError for any others. */
export function make_label(values: readonly number[]): string {
  const fit = (value: number): boolean => Number.isInteger(value) && value >= 0 && value < ALPHABET.length;
  if (values.length !== LENGTH - 1 || !values.every(fit))
    throw new RangeError(`[${values}] makes no label: give four numbers from 0 to 31.`);
  return [...values, check_of(values)].map((value) => ALPHABET.charAt(value)).join("");
}

/** Whether a text is a label exactly as kept: five upper-case characters, the last one right. */
export function is_label(text: string): boolean {
  return read_label(text) === text;
}

/** The label a person typed: spaces and dashes dropped, upper case; or why it is none. */
export function read_label(text: string): string | LabelRefusal {
  const characters = [...text.toUpperCase().replace(/[ \t\r\n\u00a0\u2010\u2011\u2013-]/g, "")];
  const code = characters.join("");
  const shown = characters.length <= 12 ? code : `${characters.slice(0, 12).join("")}…`;
  if (characters.length !== LENGTH)
    return { code: "length", sentence: `"${shown}" is no label: a label has 5 characters.` };
  const unknown = characters.find((character) => !ALPHABET.includes(character));
  if (unknown !== undefined)
    return {
      code: "character",
      sentence: `${shown} is no label: there is no ${unknown} in one, and no 0, O, 1 or I at all.`,
    };
  const values = characters.map((character) => ALPHABET.indexOf(character));
  if (check_of(values.slice(0, -1)) !== values.at(-1))
    return {
      code: "check",
      sentence: `${shown} is no label: one character is off. Compare it with the block.`,
    };
  return code;
}

function check_of(values: readonly number[]): number {
  return values.reduce((check, value, place) => check ^ doubled(value, place + 1), 0);
}

function doubled(value: number, times: number): number {
  let product = value;
  for (let time = 0; time < times; time += 1) {
    product <<= 1;
    if (product >= ALPHABET.length) product ^= REDUCTION;
  }
  return product;
}
