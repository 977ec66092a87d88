/** Plain numbers as people type them into a field: degrees, percents, minutes, millilitres. Pure. */

/** null when nothing is typed; NaN when it is no number from `least` to `most`. */
export function readNumber(text: string, least: number, most: number): number | null {
  const plain = text.trim().replace(",", ".").replace("−", "-");
  if (plain === "") return null;
  const value = /^-?[0-9]+(\.[0-9]+)?$/.test(plain) ? Number(plain) : Number.NaN;
  return value >= least && value <= most ? value : Number.NaN;
}

export const COLDEST_C = -30;
export const WARMEST_C = 60;

/** Of a room or a store. */
export function readCelsius(text: string): number | null {
  return readNumber(text, COLDEST_C, WARMEST_C);
}

export function noCelsius(text: string): string {
  return `“${text}” is no temperature from ${COLDEST_C} to ${WARMEST_C} °C.`;
}
