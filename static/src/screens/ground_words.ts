/** What a forecast was worked out from, in words. Pure. */

/** `basis` as the forecast names it; `species` by its trade name, where it is known: goes on from "From ". */
export function groundWords(basis: string, species: string | undefined): string {
  const usual = species ? `usual range for ${species}` : "usual range";
  const said = basis
    .replace("usual range", usual)
    .replace(", none of yours yet", ": no other block of yours to go by yet");
  return said.startsWith("usual") ? `the ${said}` : said;
}
