/** Whether a mass is likely for one block: asked where it is written down, while the scale still stands there. Pure. */
import { parse_mass, type Unit } from "./masses";

// Common practice, no source: bought blocks weigh 1 to 5 kg, and a log or a bed seldom more than a person can carry.
const LIGHT_G = 100;
const HEAVY_G = 25_000;

export interface Doubt {
  /** "3 g for a block?" */
  asked: string;
  /** "3 kg": the same digits in the unit that makes them likely; null where none does */
  instead: string | null;
  /** "3 g is right" */
  yes: string;
}

/** null where the mass is likely, missing or no mass at all; `unit` is that of a bare number. */
export function doubtMass(typed: string, unit: Unit): Doubt | null {
  const plain = typed.trim();
  if (likely(plain, unit) !== false) return null;
  const [, digits = "", word = ""] = /^([0-9.,]+) ?([a-z]*)$/i.exec(plain) ?? [];
  const said = digits !== "" && word === "" ? `${digits} ${unit}` : plain;
  const metric = /^(?:g|k)/i.test(word || unit);
  const others: readonly Unit[] = metric ? ["g", "kg"] : ["oz", "lb"];
  const meant = digits !== "" && others.find((other) => likely(`${digits} ${other}`, other) === true);
  return {
    asked: `${said} for a block?`,
    instead: meant ? `${digits} ${meant}` : null,
    yes: `${said} is right`,
  };
}

/** undefined where it cannot be read: that is another sentence. */
function likely(typed: string, unit: Unit): boolean | undefined {
  const read = parse_mass(typed, unit);
  return "grams" in read ? read.grams >= LIGHT_G && read.grams <= HEAVY_G : undefined;
}
