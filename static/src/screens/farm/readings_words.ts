/** What a reading of a place's air says, in figures and plain words. No alarm: a shed's own crop decides. */
import { dew_point_c, rh_after_warming, vapour_pressure_deficit_kpa } from "../../calc/air";
import { Unacceptable } from "../../calc/errors";
import type { Standing } from "../../records/farm_view";
import type { Id, Reading } from "../../records/types";
import { farm } from "../here";

/** The readings of a place, oldest first. */
export function readingsOf(place: Id): Standing<"reading">[] {
  return [...farm.value.reading.values()]
    .filter(({ fields }) => fields.place === place)
    .sort((a, b) => Date.parse(a.fields.at) - Date.parse(b.fields.at) || (a.id < b.id ? -1 : 1));
}

/** "14.2 °C, 91 %, 900 ppm" */
export function readingWords({ temp_c, rh_pct, co2_ppm }: Reading): string {
  const parts = [
    temp_c !== null && `${temp_c} °C`,
    rh_pct !== null && `${rh_pct} %`,
    co2_ppm !== null && `${co2_ppm} ppm`,
  ].filter(Boolean);
  return parts.join(", ") || "only a note";
}

export interface Air {
  dew_c: number;
  deficit_kpa: number;
  means: string;
}

/** null where the temperature or the humidity is missing, or the air is drier than the formula reaches. */
export function airOf({ temp_c, rh_pct }: Reading): Air | null {
  if (temp_c === null || rh_pct === null) return null;
  try {
    const deficit_kpa = vapour_pressure_deficit_kpa(temp_c, rh_pct);
    const warmed = rh_after_warming(rh_pct, temp_c, temp_c + WARMED_C);
    const means = `${pull(deficit_kpa)} A heater that makes it ${WARMED_C}\u00a0°C warmer, with no water added, brings it to ${warmed.toFixed(0)}\u00a0%.`;
    return { dew_c: dew_point_c(temp_c, rh_pct), deficit_kpa, means };
  } catch (error) {
    if (error instanceof Unacceptable) return null;
    throw error;
  }
}

const WARMED_C = 5;

/** How hard the air dries, in words; where one word ends and the next begins is our judgement, no source. */
function pull(deficit_kpa: number): string {
  if (deficit_kpa < 0.1) return "This air takes up next to no water: what is wet stays wet.";
  if (deficit_kpa < 0.35) return "This air dries gently.";
  if (deficit_kpa < 0.8) return "This air dries what stands in it, small pins first.";
  return "This air dries hard: small pins and open cuts lose water fast.";
}

// The usual limit for people over an 8-hour day; local workplace rules come first.
export const CO2_LIMIT_PPM = 5000;
