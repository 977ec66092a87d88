/** Damp in the air of a room: where it condenses, how hard it dries, what warming does to it. Validity and errors: as harvestlog/calc/air.py, on the same examples. */
import { above_zero, number, zero_or_more } from "./acceptable";
import { OutOfReach, Unacceptable } from "./errors";

export const COLDEST_C = -100;
export const HOTTEST_C = 200;
export const FREEZING_C = 0.01; // the triple point of water: the curve over ice below, over water above
type Curve = readonly [number, number, number, number, number, number, number];
// ASHRAE Handbook - Fundamentals (2017), chapter 1, equations 5 and 6 (Hyland & Wexler 1983), coefficients from memory,
// checked against psychrolib. ln p = c[0]/T + c[1] + c[2] T + c[3] T² + ... + c[6] ln T, T in kelvin.
const OVER_ICE: Curve = [
  -5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019,
];
const OVER_WATER: Curve = [-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0, 6.5459673];

/** A temperature outside the range a formula is valid in. */
export class TemperatureOutOfRange extends Unacceptable {
  override name = "TemperatureOutOfRange";
}

/** A relative humidity above 100 %. */
export class HumidityOutOfRange extends Unacceptable {
  override name = "HumidityOutOfRange";
}

/** The temperature in °C, if a formula valid from low_c to high_c takes it. */
export function temperature(label: string, value_c: unknown, low_c: number, high_c: number): number {
  const checked = number(label, value_c);
  if (checked < low_c || checked > high_c)
    throw new TemperatureOutOfRange(`The ${label} is ${checked} °C: it lies from ${low_c} to ${high_c} °C.`);
  return checked;
}

export function humidity(value_pct: unknown): number {
  const checked = zero_or_more("relative humidity", value_pct);
  if (checked > 100)
    throw new HumidityOutOfRange(
      `The relative humidity is ${checked} %: it cannot be above 100 %, from there on water condenses.`,
    );
  return checked;
}

/** Pressure, in Pa, of the water vapour in saturated air: over ice below 0.01 °C, over water above. Source: ASHRAE, as above. */
export function saturation_pa(temp_c: number): number {
  const t_c = temperature("temperature", temp_c, COLDEST_C, HOTTEST_C);
  const t = t_c + 273.15;
  const c = t_c <= FREEZING_C ? OVER_ICE : OVER_WATER;
  const powers = c[0] / t + c[1] + c[2] * t + c[3] * t ** 2 + c[4] * t ** 3 + c[5] * t ** 4;
  return Math.exp(powers + c[6] * Math.log(t));
}

/** Temperature, in °C, at which water begins to condense out of air of temp_c and rh_pct. Source: saturation_pa, solved by halving to a millionth of a degree. */
export function dew_point_c(temp_c: number, rh_pct: number): number {
  const vapour_pa = (saturation_pa(temp_c) * above_zero("relative humidity", humidity(rh_pct))) / 100;
  let low = COLDEST_C;
  let high = temp_c;
  if (vapour_pa < saturation_pa(low))
    throw new OutOfReach(`The dew point lies below ${low} °C: check the humidity, ${rh_pct} %.`);
  while (high - low > 1e-6) {
    const middle = (low + high) / 2;
    if (saturation_pa(middle) < vapour_pa) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** How much more water vapour the air would hold, in kPa: the pull by which it dries what stands in it. Source: definition. */
export function vapour_pressure_deficit_kpa(temp_c: number, rh_pct: number): number {
  return (saturation_pa(temp_c) * (1 - humidity(rh_pct) / 100)) / 1000;
}

/** Relative humidity, in %, of the same air at another temperature; 100 where cooling makes water condense. Source: the vapour pressure stays the same. */
export function rh_after_warming(rh_pct: number, from_c: number, to_c: number): number {
  return Math.min(100, (humidity(rh_pct) * saturation_pa(from_c)) / saturation_pa(to_c));
}
