/** What is being typed on the number pad, key by key, and what it means. Pure. */
import { type Mass, type MassRefusal, parse_mass, type Unit } from "./masses";

export interface Typed {
  /** as typed, without the last unit: "340", "12,5", "2 lb 3.5" */
  digits: string;
  unit: Unit;
}

const MOST_CHARACTERS = 12;
const BETWEEN = " lb ";

/** The pad's keys; a keyboard may send "-", "/" and a space besides, which the parser answers in words. */
export type Key =
  | "rub"
  | "lb"
  | "0"
  | "1"
  | "2"
  | "3"
  | "4"
  | "5"
  | "6"
  | "7"
  | "8"
  | "9"
  | "."
  | ","
  | "-"
  | "/"
  | " ";

export function press(typed: Typed, key: Key): Typed {
  const { digits } = typed;
  if (key === "rub") {
    return {
      ...typed,
      digits: digits.endsWith(BETWEEN) ? digits.slice(0, -BETWEEN.length) : digits.slice(0, -1),
    };
  }
  if (key === "lb") return inOunces(typed) || digits === "" ? typed : { ...typed, digits: digits + BETWEEN };
  if (digits.length >= MOST_CHARACTERS) return typed;
  // A leading zero stays, or comes, only before a decimal mark.
  const kept = digits === "0" && /[0-9]/.test(key) ? "" : digits || (/[.,]/.test(key) ? "0" : "");
  return { ...typed, digits: kept + key };
}

/** Another unit keeps what was typed, except pounds that were typed as pounds and ounces. */
export function inUnit(typed: Typed, unit: Unit): Typed {
  if (!typed.digits.includes(BETWEEN)) return { ...typed, unit };
  return { digits: unit === "lb" ? typed.digits : "", unit };
}

/** Pounds are typed and the ounces come next. */
export function inOunces({ digits, unit }: Typed): boolean {
  return unit === "lb" && digits.includes(BETWEEN);
}

/** With its units, as it is kept beside the grams; "" when nothing is typed. */
export function typedText(typed: Typed): string {
  const { digits, unit } = typed;
  if (digits === "") return "";
  if (inOunces(typed)) return digits.endsWith(BETWEEN) ? digits.trimEnd() : `${digits} oz`;
  return `${digits} ${unit}`;
}

/** Back from what a record keeps, so that it can be corrected as it was typed; from the grams where that is not known. */
export function typedFrom(text: string, grams: number): Typed {
  const whole = /^([0-9.,/ -]+) (g|kg|oz|lb)$/.exec(text);
  if (whole) return { digits: whole[1] ?? "", unit: whole[2] as Unit };
  const pair = /^([0-9]+ lb [0-9.,/ ]+) oz$/.exec(text);
  if (pair) return { digits: pair[1] ?? "", unit: "lb" };
  return { digits: String(grams), unit: "g" };
}

export function readTyped(typed: Typed): Mass | MassRefusal {
  return parse_mass(typedText(typed), typed.unit);
}

/** Both readings of "1,250", to choose from; undefined where the text has one meaning or none. */
export function readings({ digits, unit }: Typed): [Typed, Typed] | undefined {
  const either = /^([1-9][0-9]{0,2})[.,]([0-9]{3})$/.exec(digits);
  if (!either) return undefined;
  return [
    { digits: `${either[1]}.${either[2]}`.replace(/0+$/, "").replace(/\.$/, ""), unit },
    { digits: `${either[1]}${either[2]}`, unit },
  ];
}
