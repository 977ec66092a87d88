"""Which numbers a calculation takes; each check returns the number or raises its named error."""

import math
from collections.abc import Mapping
from numbers import Real

from harvestlog.calc.errors import (
    BelowZero,
    IsZero,
    MoistureOutOfRange,
    NotAFlush,
    NotANumber,
    OutOfReach,
    RangeUpsideDown,
)


def shown(value: object) -> str:
    """The value as a person would write it: 5 rather than 5.0."""
    text = repr(value)
    return text.removesuffix(".0") if isinstance(value, float) else text


def number(label: str, value: object) -> float:
    """Any finite number that is no truth value. Raises NotANumber."""
    if isinstance(value, bool) or not isinstance(value, Real):
        raise NotANumber(f"The {label} is {shown(value)}: give a number.")
    try:
        as_float = float(value)
    except OverflowError:
        raise NotANumber(f"The {label} has too many digits: give a smaller number.") from None
    if not math.isfinite(as_float):
        raise NotANumber(f"The {label} is {shown(value)}: give a number.")
    return as_float


def zero_or_more(label: str, value: object) -> float:
    """Raises NotANumber, BelowZero."""
    checked = number(label, value)
    if checked < 0:
        raise BelowZero(f"The {label} is {shown(value)}: it cannot be below zero.")
    return checked


def above_zero(label: str, value: object) -> float:
    """Raises NotANumber, BelowZero, IsZero."""
    checked = zero_or_more(label, value)
    if checked == 0:
        raise IsZero(f"The {label} is 0: give the figure, or leave it out if it is not known.")
    return checked


def moisture(label: str, value: object) -> float:
    """Water in % of the wet mass, from 0 up to, but not at, 100. Raises NotANumber, MoistureOutOfRange."""
    checked = number(label, value)
    if not 0 <= checked < 100:
        raise MoistureOutOfRange(
            f"The {label} is {shown(value)} %: it lies from 0 up to, but not at, 100 % of the wet mass."
        )
    return checked


def moisture_range(low: object, high: object) -> tuple[float, float]:
    """Both ends as moisture takes them, the lower one first. Raises what that raises, and RangeUpsideDown."""
    ends = moisture("lowest moisture", low), moisture("highest moisture", high)
    if ends[0] > ends[1]:
        raise RangeUpsideDown(
            f"The lowest moisture, {shown(low)} %, is above the highest, {shown(high)} %: swap them."
        )
    return ends


def flush_number(value: object) -> int:
    """A whole number from 1 on. Raises NotAFlush."""
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise NotAFlush(f"Flush {shown(value)} is no flush: they are numbered 1, 2, 3.")
    return value


def grams_by_flush(value: Mapping[int, float]) -> dict[int, float]:
    """Grams, 0 or more, by flush number. Raises NotAFlush, NotANumber, BelowZero."""
    return {
        flush_number(flush): zero_or_more(f"mass of flush {flush}", grams) for flush, grams in value.items()
    }


def result(label: str, value: float) -> float:
    """What came out. Raises OutOfReach where the numbers were too far apart for it to be one."""
    if not math.isfinite(value):
        raise OutOfReach(f"The {label} is beyond all numbers: check the figures it comes from.")
    return value
