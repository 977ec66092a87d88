"""What a pick dries down to, when it has stopped losing water, and whose the dried grams of a mixed load are."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from harvestlog.calc.acceptable import above_zero, moisture, moisture_range, number, result, shown
from harvestlog.calc.errors import DryAboveWet, NothingPicked, Unacceptable, WetterThanFresh
from harvestlog.calc.estimates import DryDownPrior, Estimate, Expected, plain, shrunk

# Dry over fresh outside these is worth a second look, never a refusal (common practice, no source).
# Fresh mushrooms of the trade hold 88 to 93 % water (USDA Standard Reference, NDB 11238, 11260, 11950, 11987, 11993).
DRY_SHARE_LOW = 0.05
DRY_SHARE_HIGH = 0.20

# How far the runs of one farm lie apart, as the standard deviation of the log ratio, before it has runs of its own; worth
# four runs' evidence. Our assumption: single bunches of one trial lay 6 to 15 % apart in dry matter (AMB Express 8,
# 10.1186/s13568-018-0664-6, table 4, from its standard errors, n = 10); a load evens out bunches, not flushes or dryness.
RUN_TO_RUN = 0.08
RUN_TO_RUN_WORTH = 4
PUBLISHED_FADES = 3  # from so many own runs on, the published share is about a tenth and no longer named

# Constant weight (common practice, no source).
STEADY_SHARE = 0.005  # a loss of half a percent of its mass, between two weighings, counts as none
DRIED_AGAIN_MIN = 30
COARSE_SHARE = 0.02  # a step above this share of the load hides the last of the drying


def dry_down_ratio(wet_g: float, dry_g: float) -> float:
    """How many grams of fresh mushrooms went into one gram of dried ones.

    Valid for masses above 0, the dry one not above the wet one. Source: definition.
    Raises NotANumber, BelowZero, IsZero, DryAboveWet, OutOfReach.
    """
    wet, dry = above_zero("wet mass", wet_g), above_zero("dry mass", dry_g)
    if dry > wet:
        raise DryAboveWet(
            f"The dry mass, {shown(dry_g)} g, is above the wet mass, {shown(wet_g)} g:"
            " check both weights, they may be swapped."
        )
    return result("dry-down ratio", wet / dry)


def dry_down_from_water(fresh_water_pct: float, final_water_pct: float) -> float:
    """Dry-down ratio expected from the water content before and after drying, both in % of the mass they are in.

    Valid from 0 up to, but not at, 100 %, final not above fresh; at 90 % one point of fresh water moves it by 11 %.
    Source: the dry matter is the same before and after. It cannot be turned round: no weight tells the final water.
    Raises NotANumber, MoistureOutOfRange, WetterThanFresh, OutOfReach.
    """
    fresh, final = (
        moisture("fresh water content", fresh_water_pct),
        moisture("final water content", final_water_pct),
    )
    if final > fresh:
        raise WetterThanFresh(
            f"The final water content, {shown(final_water_pct)} %, is above the fresh one,"
            f" {shown(fresh_water_pct)} %: swap them."
        )
    return result("dry-down ratio", (100 - final) / (100 - fresh))


def plausible_dry_share(wet_g: float, dry_g: float) -> bool:
    """Whether the dried mass is 5 to 20 % of the fresh one, both in grams; otherwise ask "check this weight?".

    Valid for masses above 0; False, not an error, when the dry mass is above the wet one.
    Source: common practice, no source. Raises NotANumber, BelowZero, IsZero, OutOfReach.
    """
    wet, dry = above_zero("wet mass", wet_g), above_zero("dry mass", dry_g)
    return DRY_SHARE_LOW <= result("dry share", dry / wet) <= DRY_SHARE_HIGH


def estimate_dry_down(history: Sequence[tuple[float, float]], prior: DryDownPrior) -> Estimate:
    """The dry-down ratio of the NEXT run, with a 90 % interval, from own runs (wet_g, dry_g) of one kind and method.

    Shrinks, on the log scale, from the published water content to the mean of the runs. Final water cannot be told from
    weights: its range widens the interval. Never below 1. Calibrated by simulation in tests/bench/dry_down.py.
    Source: estimates.shrunk. Raises what dry_down_ratio and dry_down_from_water raise, and RangeUpsideDown.
    """
    return estimate_from_logs([math.log(dry_down_ratio(wet, dry)) for wet, dry in history], prior)


def estimate_from_logs(logs: Sequence[float], prior: DryDownPrior) -> Estimate:
    """As estimate_dry_down, from the logarithms of the runs' dry-down ratios, for those who ask often of the same runs."""
    final_low, final_high = moisture_range(prior.final_low_pct, prior.final_high_pct)
    driest = math.log(dry_down_from_water(prior.fresh_water_pct, final_low))
    dampest = math.log(dry_down_from_water(prior.fresh_water_pct, final_high))
    spread = above_zero("spread of the published water content", prior.fresh_spread)
    expected = Expected(
        centre=(driest + dampest) / 2,
        between=math.hypot(spread, (driest - dampest) / math.sqrt(12)),  # sd of an even spread over the range
        within=RUN_TO_RUN,
        worth=RUN_TO_RUN_WORTH,
    )
    centre, half = shrunk(logs, expected)
    low, value, high = (max(1.0, math.exp(log)) for log in (centre - half, centre, centre + half))
    return Estimate(value=value, low=low, high=high, n=len(logs), basis=_basis(len(logs), prior.basis))


def _basis(n: int, published: str) -> str:
    if n == 0:
        return f"{published}, none of yours yet"
    own = "your 1 batch" if n == 1 else f"your {n} batches"
    return f"{own} and {published}" if n < PUBLISHED_FADES else own


Word = Literal["weigh_again", "too_soon", "scale_too_coarse", "losing", "constant"]
WEIGH_AGAIN = (
    f"Weigh the load, dry it again for {DRIED_AGAIN_MIN} minutes or more, cool it, and weigh it again."
)


class WeightRises(Unacceptable):
    """A load that weighs more than it did although it was dried on."""


class TimesOutOfOrder(Unacceptable):
    """Times that are not one for each weighing, each later than the one before."""


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """What the weighings say, in a word and in a sentence; never that the load is dry enough to seal.

    `lost_g`: since the weighing it is held against, None without one. `rose`: weighings, counted from 0, that stood
    above the one before by more than the tolerance.
    """

    verdict: Word
    lost_g: float | None
    tolerance_g: float
    rose: tuple[int, ...]
    says: str


def constant_weight(
    weighings: Sequence[float], step_g: float, times_min: Sequence[float] | None = None
) -> Verdict:
    """Whether a load lost no more than its tolerance between the last two of its weighings, in grams, oldest first.

    step_g: what the scale counts in; the tolerance is that step or 0.5 % of the last mass, whichever is more. With
    times_min, in minutes, the last weighing is held against the latest one at least 30 minutes older.
    Valid for any number of weighings. Source: weigh, dry again, weigh; its figures are common practice, no source.
    Raises WeightRises when the last weighing stands above the one before, TimesOutOfOrder, NotANumber, BelowZero, IsZero.
    """
    step = above_zero("step of the scale", step_g)
    masses = [above_zero("mass of the load", mass) for mass in weighings]
    times = _in_order(times_min, len(masses))
    if not masses:
        return Verdict(verdict="weigh_again", lost_g=None, tolerance_g=step, rose=(), says=WEIGH_AGAIN)
    last, tolerance = masses[-1], max(step, STEADY_SHARE * masses[-1])
    rose = tuple(i for i in range(1, len(masses)) if masses[i] - masses[i - 1] > _at_most(tolerance))
    before = _held_against(masses, times)
    lost = None if before is None else before - last
    was = min([*masses[-2:-1], last if before is None else before])
    if last - was > _at_most(tolerance):
        raise WeightRises(
            f"The load weighs {plain(last)} g, above the {plain(was)} g it weighed before: weigh it once more,"
            " cooled and without the tray. If it has drawn damp from the air, dry it on."
        )
    verdict, says = _judged(len(masses), lost, last, step, tolerance)
    return Verdict(verdict=verdict, lost_g=lost, tolerance_g=tolerance, rose=rose, says=says)


def _judged(n: int, lost: float | None, last: float, step: float, tolerance: float) -> tuple[Word, str]:
    if lost is None:
        too_soon = (
            f"The last weighings are less than {DRIED_AGAIN_MIN} minutes apart: dry on, then weigh again."
        )
        return ("weigh_again", WEIGH_AGAIN) if n == 1 else ("too_soon", too_soon)
    if lost > _at_most(tolerance):
        return (
            "losing",
            f"It lost {plain(lost)} g since the weighing before: dry it again, cool it, weigh it again.",
        )
    if step > COARSE_SHARE * last:
        return "scale_too_coarse", (
            f"A scale that counts in {plain(step)} g cannot show the last of the drying in {plain(last)} g:"
            " weigh on a finer scale, or a bigger load."
        )
    return "constant", (
        f"It lost {plain(max(lost, 0))} g, and up to {plain(tolerance)} g counts as none (one step of the scale or half a"
        " percent of the load): constant weight. No weight tells that it is dry enough: cool a piece and see that it snaps."
    )


def _at_most(tolerance: float) -> float:
    """The tolerance with room for what 118.1 - 118 is off by in a computer."""
    return tolerance * (1 + 1e-9)


def _held_against(masses: Sequence[float], times: Sequence[float] | None) -> float | None:
    """The weighing before the last one; with times, the latest that left time to dry again in between."""
    earlier = list(range(len(masses) - 1))
    if times is not None:
        earlier = [i for i in earlier if times[-1] - times[i] >= DRIED_AGAIN_MIN]
    return masses[earlier[-1]] if earlier else None


def _in_order(times_min: Sequence[float] | None, n: int) -> list[float] | None:
    if times_min is None:
        return None
    times = [number("time of a weighing", time) for time in times_min]
    if len(times) != n:
        raise TimesOutOfOrder(f"There are {n} weighings and {len(times)} times: give one time for each.")
    for one, next_one in pairwise(times):
        if next_one <= one:
            raise TimesOutOfOrder(
                f"A weighing at {plain(next_one)} min stands after one at {plain(one)} min: put them in order."
            )
    return times


def allocate_dry_g(wet_by_pick_g: Mapping[str, float], dry_g: float) -> dict[str, float]:
    """Dried grams of each pick in a mixed load, shared out by wet mass; in whatever order they are added, they sum to exactly dry_g.

    Valid for wet masses above 0 and a dry mass not above their sum. An allocation, never a weighing: mark it so.
    Source: our rule; it takes every pick to hold equally much water.
    Raises NothingPicked, NotANumber, BelowZero, IsZero, DryAboveWet, OutOfReach.
    """
    wet = {pick: above_zero("wet mass of a pick", grams) for pick, grams in wet_by_pick_g.items()}
    if not wet:
        raise NothingPicked("There is no pick in this load: put in the picks that were dried together.")
    total = result("whole load", sum(wet.values()))
    dry_down_ratio(total, dry_g)
    # Every share but the largest is cut to a power of two of its own size class: such numbers add up without rounding.
    grid = 2.0 ** max(math.floor(math.log2(dry_g)) - 40, -1060)
    dry = {pick: math.floor(dry_g * (grams / total) / grid) * grid for pick, grams in wet.items()}
    largest = max(wet, key=lambda pick: wet[pick])
    dry[largest] = dry_g - sum(share for pick, share in dry.items() if pick != largest)
    return dry
