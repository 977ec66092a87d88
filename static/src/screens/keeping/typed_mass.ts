/** Masses in text fields: shown so that reading them back gives the same grams, and kept as they were typed. */
import { type Mass, parse_mass } from "../../records/masses";
import { unit } from "../here";

/** A value, or a sentence on why what was typed is none. */
export type Understood<T> = { value: T; wrong?: undefined } | { wrong: string };

/** "118.4 g": exact, where a shown mass is rounded; as it was typed, where somebody typed it. */
export function massText({ grams, typed }: Mass): string {
  return typed || `${grams} g`;
}

/** What was kept and is not touched stays what it is, whatever the unit is now. */
export function readMass(text: string, seen?: Mass): Understood<Mass> {
  if (seen && text.trim() === massText(seen)) return { value: seen };
  const read = parse_mass(text, unit.value);
  return "grams" in read
    ? { value: { grams: read.grams, typed: withUnit(text.trim()) } }
    : { wrong: read.sentence };
}

/** A bare number is kept with the unit that it was taken for. */
function withUnit(typed: string): string {
  const bare = parse_mass(`${typed} ${unit.value}`, unit.value);
  return /[a-z]/i.test(typed) || !("grams" in bare) ? typed : `${typed} ${unit.value}`;
}
