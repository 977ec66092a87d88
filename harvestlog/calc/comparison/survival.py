"""Days until something happens, when some are still waiting.

S(t), the share still waiting after day t, falls by d/n at each day with d events among n still watched (Kaplan &
Meier 1958, J Am Stat Assoc 53:457). Its interval is Greenwood's on the log(-log) scale, so it stays between 0 and 1;
the interval of the median holds the days at which that band crosses one half (Brookmeyer & Crowley 1982, Biometrics
38:29).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, log, sqrt
from statistics import NormalDist


@dataclass(frozen=True, kw_only=True)
class Waited:
    """One block: days watched, and whether the event came on the last of them."""

    days: float
    came: bool


@dataclass(frozen=True, kw_only=True)
class Step:
    """Share still waiting after `day`, with its interval."""

    day: float
    waiting: float
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Median:
    """Day by which half have had the event; None where the curve (or its band) has not come down to one half."""

    value: float | None
    low: float | None
    high: float | None


def still_waiting(waits: Sequence[Waited], level: float = 0.90) -> list[Step]:
    """The Kaplan-Meier curve, one step for each day with an event, with pointwise intervals.

    Valid for days from 0 up; censored ones count as watched through their last day. Source: see the module.
    """
    z = NormalDist().inv_cdf((1 + level) / 2)
    share, greenwood = 1.0, 0.0
    steps = []
    for day in sorted({wait.days for wait in waits if wait.came}):
        watched = sum(wait.days >= day for wait in waits)
        came = sum(wait.days == day and wait.came for wait in waits)
        share *= 1 - came / watched
        greenwood += came / (watched * (watched - came)) if came < watched else inf
        low, high = _band(share, greenwood, z)
        steps.append(Step(day=day, waiting=share, low=low, high=high))
    return steps


def median_wait(waits: Sequence[Waited], level: float = 0.90) -> Median:
    """Days by which half of them have had it, with interval. Source: see the module."""
    steps = still_waiting(waits, level)
    return Median(
        value=_first_day(steps, [step.waiting for step in steps]),
        low=_first_day(steps, [step.low for step in steps]),
        high=_first_day(steps, [step.high for step in steps]),
    )


def _first_day(steps: Sequence[Step], shares: Sequence[float]) -> float | None:
    return next((step.day for step, share in zip(steps, shares, strict=True) if share <= 0.5), None)


def _band(share: float, greenwood: float, z: float) -> tuple[float, float]:
    if not 0 < share < 1:
        return share, share
    reach = z * sqrt(greenwood) / abs(log(share))
    return share ** exp(reach), share ** exp(-reach)
