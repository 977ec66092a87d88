/** Masses in text fields: shown so that reading them back gives the same grams, and kept as they were typed. */
import { parse_mass } from "../../records/masses";
import { unit } from "../here";

/** "118.4 g": exact, where a shown mass is rounded. */
export function massOf(grams: number): string {
  return `${grams} g`;
}

/** What is kept beside the grams: with the unit that a bare number was taken for; as it was, where nothing changed. */
export function typedMass(text: string, seen?: { g: number | null; typed: string }): string {
  const typed = text.trim();
  if (typed === "" || (seen && seen.g !== null && typed === massOf(seen.g) && seen.typed === "")) return "";
  const bare = parse_mass(`${typed} ${unit.value}`, unit.value);
  return /[a-z]/i.test(typed) || !("grams" in bare) ? typed : `${typed} ${unit.value}`;
}
