"""Damp in the air of a room: where it condenses, how hard it dries, what warming does to it."""

import math

from harvestlog.calc.acceptable import above_zero, number, shown, zero_or_more
from harvestlog.calc.errors import OutOfReach, Unacceptable

COLDEST_C, HOTTEST_C = -100.0, 200.0
FREEZING_C = 0.01  # the triple point of water: the curve over ice below, over water above
# ASHRAE Handbook - Fundamentals (2017), chapter 1, equations 5 and 6 (Hyland & Wexler 1983), coefficients from memory,
# checked against psychrolib. ln p = c[0]/T + c[1] + c[2] T + c[3] T² + ... + c[-1] ln T, T in kelvin.
OVER_ICE = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
OVER_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


class TemperatureOutOfRange(Unacceptable):
    """A temperature outside the range a formula is valid in."""


class HumidityOutOfRange(Unacceptable):
    """A relative humidity above 100 %."""


def temperature(label: str, value_c: object, low_c: float, high_c: float) -> float:
    """The temperature in °C, if a formula valid from low_c to high_c takes it."""
    checked = number(label, value_c)
    if not low_c <= checked <= high_c:
        raise TemperatureOutOfRange(
            f"The {label} is {shown(value_c)} °C: it lies from {shown(low_c)} to {shown(high_c)} °C."
        )
    return checked


def humidity(value_pct: object) -> float:
    checked = zero_or_more("relative humidity", value_pct)
    if checked > 100:
        raise HumidityOutOfRange(
            f"The relative humidity is {shown(value_pct)} %: it cannot be above 100 %, from there on water condenses."
        )
    return checked


def saturation_pa(temp_c: float) -> float:
    """Pressure, in Pa, of the water vapour in saturated air: over ice below 0.01 °C, over water above.

    Valid from -100 to 200 °C. Source: ASHRAE, as above. Raises NotANumber, TemperatureOutOfRange.
    """
    t_c = temperature("temperature", temp_c, COLDEST_C, HOTTEST_C)
    t = t_c + 273.15
    c = OVER_ICE if t_c <= FREEZING_C else OVER_WATER
    powers = c[0] / t + c[1] + c[2] * t + c[3] * t**2 + c[4] * t**3 + c[5] * t**4
    return math.exp(powers + c[6] * math.log(t))


def dew_point_c(temp_c: float, rh_pct: float) -> float:
    """Temperature, in °C, at which water begins to condense out of air of temp_c and rh_pct.

    Valid from -100 to 200 °C, above 0 %. Source: saturation_pa, solved by halving to a millionth of a degree.
    Raises NotANumber, TemperatureOutOfRange, BelowZero, IsZero, HumidityOutOfRange, OutOfReach.
    """
    vapour_pa = saturation_pa(temp_c) * above_zero("relative humidity", humidity(rh_pct)) / 100
    low, high = COLDEST_C, float(temp_c)
    if vapour_pa < saturation_pa(low):
        raise OutOfReach(f"The dew point lies below {shown(low)} °C: check the humidity, {shown(rh_pct)} %.")
    while high - low > 1e-6:
        middle = (low + high) / 2
        low, high = (middle, high) if saturation_pa(middle) < vapour_pa else (low, middle)
    return (low + high) / 2


def vapour_pressure_deficit_kpa(temp_c: float, rh_pct: float) -> float:
    """How much more water vapour the air would hold, in kPa: the pull by which it dries what stands in it.

    Valid from -100 to 200 °C. Source: definition. Raises NotANumber, TemperatureOutOfRange, BelowZero, HumidityOutOfRange.
    """
    return saturation_pa(temp_c) * (1 - humidity(rh_pct) / 100) / 1000


def rh_after_warming(rh_pct: float, from_c: float, to_c: float) -> float:
    """Relative humidity, in %, of the same air at another temperature; 100 where cooling makes water condense.

    Valid from -100 to 200 °C at one pressure. Source: the vapour pressure stays the same.
    Raises NotANumber, TemperatureOutOfRange, BelowZero, HumidityOutOfRange.
    """
    return min(100.0, humidity(rh_pct) * saturation_pa(from_c) / saturation_pa(to_c))
