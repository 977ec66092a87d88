"""Soaking dried mushrooms back: how much water they take up, how fast, and what a jar stands for in fresh ones."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from harvestlog.calc.acceptable import above_zero, moisture, result, shown, zero_or_more
from harvestlog.calc.drying import dry_down_from_water
from harvestlog.calc.errors import Unacceptable
from harvestlog.calc.estimates import Estimate, plain, usable

NEARLY_ALL = 0.9  # the share of the water a soak is timed for: the last of it takes as long again (our rule)
NOTHING = 1e-9  # of the other term of k1 + k2 t: what zero comes to in a computer


class LighterThanDry(Unacceptable):
    """A soaked and drained mass below the dry mass that went into the water."""


class TooFewTimes(Unacceptable):
    """Fewer than three different times after the start: no curve can be told from them."""


class PairsIncomplete(Unacceptable):
    """Times and readings that are not one for one."""


class NoPelegCurve(Unacceptable):
    """Readings that no curve of Peleg's, rising quickly at first and levelling off, goes through."""


def rehydration_ratio(drained_g: float, dry_g: float) -> float:
    """Grams soaked and drained per gram of dried mushroom.

    Valid for a drained mass not below the dry one; published ratios run from 1.8 to 7.7, so compare your own only.
    Source: definition. Raises NotANumber, BelowZero, IsZero, LighterThanDry, OutOfReach.
    """
    drained, dry = above_zero("drained mass", drained_g), above_zero("dry mass", dry_g)
    if drained < dry:
        raise LighterThanDry(
            f"The drained mass, {shown(drained_g)} g, is below the dry mass, {shown(dry_g)} g:"
            " check both weights, they may be swapped."
        )
    return result("rehydration ratio", drained / dry)


def coefficient_of_rehydration(
    drained_g: float, dry_g: float, fresh_water_pct: float, dried_water_pct: float
) -> float:
    """How much of the fresh mass came back: 1 is all of it; water contents in % of the mass they are in.

    Valid as the two it is made of. Source: rehydration ratio over dry-down ratio.
    Raises what rehydration_ratio and dry_down_from_water raise.
    """
    dry_down = dry_down_from_water(fresh_water_pct, dried_water_pct)
    return result("coefficient of rehydration", rehydration_ratio(drained_g, dry_g) / dry_down)


def moisture_db(drained_g: float, dry_g: float, dried_water_pct: float) -> float:
    """Grams of water per gram of dry matter in what dry_g, holding dried_water_pct of water, has soaked up to.

    Valid for a drained mass not below the dry one; with drained_g = dry_g it is that of the dried mushroom.
    Source: definition of moisture on the dry basis; what leaches into the water is not counted.
    Raises what rehydration_ratio raises, and MoistureOutOfRange.
    """
    dry_matter = 1 - moisture("water content of the dried mushrooms", dried_water_pct) / 100
    return result("moisture", rehydration_ratio(drained_g, dry_g) / dry_matter - 1)


@dataclass(frozen=True, kw_only=True)
class Peleg:
    """Peleg's curve M(t) = m0 + t / (k1 + k2 t), M in g of water per g of dry matter: k1 in minutes, small when the water
    enters fast; 1/k2 is all the water that will enter.
    """

    k1: float
    k2: float
    m0: float


def fit_peleg(times_min: Sequence[float], moisture_db: Sequence[float], m0: float | None = None) -> Peleg:
    """Peleg's curve through soaking times, in minutes, and moistures, in g of water per g of dry matter.

    m0 is the moisture at the start: given, else the reading at 0 min, else fitted with the rest (weakest: weigh it dry).
    The straight line t/(M - m0) = k1 + k2 t is fitted by least squares, weighted so that an error counts as one of M.
    Valid from three different times above 0 on. Source: Peleg 1988, J Food Sci 53:1216 (from memory).
    Raises PairsIncomplete, TooFewTimes, NoPelegCurve, NotANumber, BelowZero.
    """
    if len(times_min) != len(moisture_db):
        raise PairsIncomplete(
            f"There are {len(times_min)} times and {len(moisture_db)} readings: give one reading for each time."
        )
    pairs = [
        (zero_or_more("soaking time", time), zero_or_more("moisture", reading))
        for time, reading in zip(times_min, moisture_db, strict=True)
    ]
    soaked = [(time, reading) for time, reading in pairs if time > 0]
    times = len({time for time, _ in soaked})
    if times < 3:
        raise TooFewTimes(
            f"Weighed at {times} of the three different times after the start that a curve needs."
        )
    dry = [reading for time, reading in pairs if time == 0]
    if m0 is None:
        m0 = sum(dry) / len(dry) if dry else _fitted_start(soaked)
    return _line_through(soaked, zero_or_more("moisture at the start", m0))


def _line_through(soaked: Sequence[tuple[float, float]], m0: float) -> Peleg:
    rows = []
    for time, reading in soaked:
        gained = reading - m0
        if gained <= 0:
            raise NoPelegCurve(
                f"After {plain(time)} min it held no more water than dry: check that weighing."
            )
        rows.append((time, time / gained, (gained * gained / time) ** 2))
    k1, k2 = _weighted_line(rows)
    longest = max(time for time, _ in soaked)
    if k2 * longest <= NOTHING * abs(k1):
        raise NoPelegCurve(
            f"The water does not level off (k1 + k2 t crosses zero, k2 = {k2:.3g}): soak longer and weigh again."
        )
    if k1 <= NOTHING * k2 * longest:
        raise NoPelegCurve(
            f"Nearly all the water was in by the first weighing (k1 + k2 t crosses zero, k1 = {k1:.3g}):"
            " weigh sooner after the start."
        )
    return Peleg(k1=k1, k2=k2, m0=m0)


def _weighted_line(rows: Sequence[tuple[float, float, float]]) -> tuple[float, float]:
    """Intercept and slope through (x, y, weight) for two or more different x."""
    total = sum(w for _, _, w in rows)
    x_mean = sum(w * x for x, _, w in rows) / total
    y_mean = sum(w * y for _, y, w in rows) / total
    both = sum(w * (x - x_mean) * (y - y_mean) for x, y, w in rows)
    slope = both / sum(w * (x - x_mean) ** 2 for x, _, w in rows)
    return y_mean - slope * x_mean, slope


def _fitted_start(soaked: Sequence[tuple[float, float]]) -> float:
    """m0 where it was not weighed: written out, Peleg's curve is M = m0 + a t + b (t M), linear in all three."""
    n = len(soaked)
    t_mean, m_mean = sum(t for t, _ in soaked) / n, sum(m for _, m in soaked) / n
    p_mean = sum(t * m for t, m in soaked) / n
    rows = [(t - t_mean, m - m_mean, t * m - p_mean) for t, m in soaked]
    tt, pp = sum(t * t for t, _, _ in rows), sum(p * p for _, _, p in rows)
    tp, tm, pm = (
        sum(t * p for t, _, p in rows),
        sum(t * m for t, m, _ in rows),
        sum(p * m for _, m, p in rows),
    )
    det = tt * pp - tp * tp
    if det <= 1e-12 * tt * pp:  # t M grows just as t: the readings stand still
        raise NoPelegCurve(
            "The readings do not change: weigh the dried mushrooms too, as the reading at 0 min."
        )
    a, b = (tm * pp - pm * tp) / det, (pm * tt - tm * tp) / det
    return max(0.0, m_mean - a * t_mean - b * p_mean)


def peleg_moisture_db(curve: Peleg, time_min: float) -> float:
    """Moisture, in g of water per g of dry matter, after so many minutes in water of the trial's temperature.

    Valid from 0 min on, best within the trial's times. Source: Peleg's curve. Raises NotANumber, BelowZero.
    """
    time = zero_or_more("soaking time", time_min)
    return curve.m0 + time / (curve.k1 + curve.k2 * time)


def soak_minutes(curve: Peleg) -> float:
    """Minutes until nine tenths of the water that will enter has entered.

    Valid for a fitted curve. Source: Peleg's curve solved for t; the nine tenths are our rule.
    """
    return NEARLY_ALL / (1 - NEARLY_ALL) * curve.k1 / curve.k2


def water_taken_up_g(dry_g: float, ratio: float) -> float:
    """Grams (so about millilitres) of water that dry_g takes up at a rehydration ratio; put in more, it must stay covered.

    Valid for ratios from 1 up. Source: definition of the ratio. Raises NotANumber, BelowZero, IsZero, LighterThanDry.
    """
    dry, times = above_zero("dry mass", dry_g), above_zero("rehydration ratio", ratio)
    if times < 1:
        raise LighterThanDry(
            f"The rehydration ratio is {shown(ratio)}: it cannot be below 1, water only adds."
        )
    return dry * (times - 1)


def dry_g_for_fresh(fresh_g: float, ratio: Estimate) -> Estimate:
    """Dried grams that stand for fresh_g of fresh mushrooms, by the dry-down ratio: what a recipe for fresh ones needs.

    Valid for a ratio above 0. The heavier end of the interval belongs to the lowest ratio. Source: definition of the ratio.
    Raises NotANumber, BelowZero, IsZero, RangeUpsideDown.
    """
    fresh, by = above_zero("fresh mass", fresh_g), usable("dry-down ratio", ratio)
    return replace(ratio, value=fresh / by.value, low=fresh / by.high, high=fresh / by.low)


def fresh_g_for_dry(dry_g: float, ratio: Estimate) -> Estimate:
    """Fresh grams that dry_g of dried mushrooms came from, by the dry-down ratio: what a jar stands for.

    Valid for a ratio above 0. Source: definition of the ratio. Raises NotANumber, BelowZero, IsZero, RangeUpsideDown.
    """
    dry, by = above_zero("dry mass", dry_g), usable("dry-down ratio", ratio)
    return replace(ratio, value=dry * by.value, low=dry * by.low, high=dry * by.high)
