"""How a farm's loads, jars, trials and extracts are read by the calculations of keeping: which runs count, what stands for what."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from harvestlog.calc.acceptable import above_zero, number, zero_or_more
from harvestlog.calc.drying import Verdict, constant_weight, estimate_dry_down
from harvestlog.calc.errors import NothingPicked
from harvestlog.calc.estimates import FINAL_WATER_PCT, PUBLISHED_WATER, Estimate, published_prior
from harvestlog.calc.extracts import FRESH_WATER_PCT, TwoStage
from harvestlog.calc.rehydration import (
    Peleg,
    coefficient_of_rehydration,
    dry_g_for_fresh,
    fit_peleg,
    fresh_g_for_dry,
    moisture_db,
    peleg_moisture_db,
    rehydration_ratio,
)

USUAL_STEP_G = 1.0  # of a kitchen scale, where the grower has not said (our assumption)
LIGHTEST_G = 0.001  # what a typed mass is rounded to: less was never weighed
DRIED_WATER_PCT = sum(FINAL_WATER_PCT) / 2  # taken for the mushrooms of a soaking trial; no weight tells it


@dataclass(frozen=True, kw_only=True)
class Part:
    """What went into a load: a pick of a variety, or mushrooms of a variety from elsewhere; a variety unknown is None."""

    pick: str | None
    variety: str | None
    wet_g: float


@dataclass(frozen=True, kw_only=True)
class Load:
    """One load in the dryer; `dry_g` is the whole of it as weighed at the end, None before."""

    id: str
    method: str
    parts: Sequence[Part]
    dry_g: float | None


@dataclass(frozen=True, kw_only=True)
class DriedPick:
    """A pick that was weighed wet and dried by itself."""

    id: str
    variety: str
    wet_g: float
    dry_g: float


@dataclass(frozen=True, kw_only=True)
class LoadWeighing:
    """Minutes since the load was started, grams, and whether it was left to cool first."""

    minutes: float
    mass_g: float
    cooled: bool


def dry_down_history(
    loads: Sequence[Load], picks: Sequence[DriedPick], variety: str | None, method: str | None
) -> list[tuple[float, float]]:
    """The runs (wet_g, dry_g) that tell how a variety dries down by a method, in the order given, loads first.

    The rule, in three sentences. Finished loads of this variety alone, dried by this method, count whole. Where there is
    none, picks that carry their own dried weight count instead, as nobody said how they were dried; a pick that lay in a
    load is no run of its own. Without a method (None), all loads of the variety and all such picks count.
    A run that weighs more dried than wet, or nothing, is left out: it is asked about where it stands. Source: our rule.
    """
    runs = [
        (sum(part.wet_g for part in load.parts), load.dry_g)
        for load in loads
        if load.dry_g is not None and _only_of(load, variety) and (method is None or load.method == method)
    ]
    runs = [run for run in runs if _usable(run)]
    if runs and method is not None:
        return runs
    in_loads = {part.pick for load in loads for part in load.parts}
    alone = [(p.wet_g, p.dry_g) for p in picks if p.variety == variety and p.id not in in_loads]
    return runs + [run for run in alone if _usable(run)]


def _only_of(load: Load, variety: str | None) -> bool:
    return variety is not None and bool(load.parts) and all(part.variety == variety for part in load.parts)


def _usable(run: tuple[float, float]) -> bool:
    wet, dry = run
    return LIGHTEST_G <= dry <= wet


def expected_dry_g(
    load: Load, loads: Sequence[Load], picks: Sequence[DriedPick], species: Mapping[str, str]
) -> Estimate:
    """Dried grams a load should end near, with a 90 % interval; `species` gives the catalogue key of each variety.

    Neither the load itself nor its picks count among the runs: its own weight is to be held against the figure. Of several
    varieties the ends are added up, as if all strayed the same way: the interval is then rather too wide; n is the
    least of theirs. Source: estimates.shrunk by dry_down_history, our rule.
    Raises NothingPicked, NotANumber, BelowZero, IsZero.
    """
    wet: dict[str | None, float] = {}
    for part in load.parts:
        wet[part.variety] = wet.get(part.variety, 0.0) + part.wet_g
    if not wet:
        raise NothingPicked("There is nothing in this load yet: put in the picks that are dried together.")
    inside = {part.pick for part in load.parts}
    others = [other for other in loads if other.id != load.id]
    alone = [pick for pick in picks if pick.id not in inside]
    found = [
        dry_g_for_fresh(grams, dry_down(others, alone, variety, load.method, species))
        for variety, grams in wet.items()
    ]
    return Estimate(
        value=sum(one.value for one in found),
        low=sum(one.low for one in found),
        high=sum(one.high for one in found),
        n=min(one.n for one in found),
        basis="; ".join(dict.fromkeys(one.basis for one in found)),
    )


def dry_down(
    loads: Sequence[Load],
    picks: Sequence[DriedPick],
    variety: str | None,
    method: str | None,
    species: Mapping[str, str],
) -> Estimate:
    """The dry-down ratio of the next run of a variety by a method, from the farm's own runs and what is published.

    Source: drying.estimate_dry_down on dry_down_history and estimates.published_prior.
    """
    history = dry_down_history(loads, picks, variety, method)
    return estimate_dry_down(history, published_prior(species.get(variety or "", "")))


def load_verdict(weighings: Sequence[LoadWeighing], step_g: float | None) -> Verdict:
    """What a load's weighings, oldest first, say of its drying; only those taken cooled are held against each other.

    A warm load reads light, as warm air lifts it, and would seem to rise once it has cooled (common practice, no source).
    Without the scale's step, 1 g is taken. Raises what drying.constant_weight raises.
    """
    cooled = [weighing for weighing in weighings if weighing.cooled]
    return constant_weight(
        [weighing.mass_g for weighing in cooled],
        USUAL_STEP_G if step_g is None else step_g,
        [weighing.minutes for weighing in cooled],
    )


def jar_left_g(dry_g: float, takings_g: Sequence[float]) -> float:
    """Grams left of dry_g after the takings, rounded to 0.001 g; below 0 where two phones took from it offline.

    Source: subtraction. Raises NotANumber, BelowZero, IsZero.
    """
    taken = sum(zero_or_more("mass taken", grams) for grams in takings_g)
    return math.floor((above_zero("dry mass of the jar", dry_g) - taken) * 1000 + 0.5) / 1000


def fresh_equivalent(dry_g: float, ratio: Estimate) -> Estimate | None:
    """Fresh grams that so much dried stands for, by the dry-down ratio; None where nothing is left.

    Source: rehydration.fresh_g_for_dry. Raises NotANumber, IsZero, BelowZero, RangeUpsideDown for the ratio.
    """
    left = number("dry mass", dry_g)
    return fresh_g_for_dry(left, ratio) if left > 0 else None


def trial_ratios(dry_g: float, weighings: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """(minutes, rehydration ratio) of each weighing (minutes, drained_g) of a soaking trial.

    Source: rehydration.rehydration_ratio. Raises what that raises, and BelowZero for minutes.
    """
    return [
        (zero_or_more("soaking time", minutes), rehydration_ratio(drained, dry_g))
        for minutes, drained in weighings
    ]


def trial_curve(
    dry_g: float, weighings: Sequence[tuple[float, float]], dried_water_pct: float = DRIED_WATER_PCT
) -> Peleg:
    """Peleg's curve through a soaking trial's weighings (minutes, drained_g), from the dried mass as its start.

    The dried mushrooms' own water is taken for granted; ratios read from the curve by ratio_at do not depend on it.
    Source: rehydration.fit_peleg. Raises what that and rehydration.moisture_db raise.
    """
    return fit_peleg(
        [minutes for minutes, _ in weighings],
        [moisture_db(drained, dry_g, dried_water_pct) for _, drained in weighings],
        moisture_db(dry_g, dry_g, dried_water_pct),
    )


def ratio_at(curve: Peleg, minutes: float, dried_water_pct: float = DRIED_WATER_PCT) -> float:
    """The rehydration ratio a trial's curve gives after so many minutes; take the dried_water_pct of the curve.

    Source: moisture_db turned round. Raises NotANumber, BelowZero.
    """
    return (peleg_moisture_db(curve, minutes) + 1) * (1 - dried_water_pct / 100)


def came_back(drained_g: float, dry_g: float, species: str) -> float | None:
    """Share of its fresh mass that a soaked mushroom has again; None where the species' fresh water is not published.

    The water of other kinds does not stand in: one point of it moves the share by a tenth. `species` is its catalogue key.
    Source: rehydration.coefficient_of_rehydration on estimates.PUBLISHED_WATER and DRIED_WATER_PCT. Raises what that raises.
    """
    if species not in PUBLISHED_WATER:
        return None
    fresh_water_pct, _ = PUBLISHED_WATER[species]
    return coefficient_of_rehydration(drained_g, dry_g, fresh_water_pct, DRIED_WATER_PCT)


@dataclass(frozen=True, kw_only=True)
class Brew:
    """What a grower noted of an extract: `mushroom` is "dried" or "fresh"; `steps` are (what, volume_ml) in the order of time."""

    mushroom: str
    mass_g: float
    spirit_ml: float
    spirit_pct: float
    fresh_water_low_pct: float | None
    fresh_water_high_pct: float | None
    steps: Sequence[tuple[str, float | None]]


def two_stage(brew: Brew) -> TwoStage:
    """An extract's notes as extracts.dual_extract takes them.

    Of several measured volumes of one stage the last stands, as a second straining is measured anew; no water stage yet
    is 0 mL. An end of the fresh water left empty is the usual one, or the other end where that lies beyond it.
    Source: our rule. Raises nothing: dual_extract judges the figures.
    """
    fresh = brew.mushroom == "fresh"
    low, high = brew.fresh_water_low_pct, brew.fresh_water_high_pct
    usual_low, usual_high = FRESH_WATER_PCT
    if low is None:
        low = usual_low if high is None else min(usual_low, high)
    if high is None:
        high = max(usual_high, low)
    return TwoStage(
        spirit_ml=brew.spirit_ml,
        spirit_pct_vol=brew.spirit_pct,
        water_stage_ml=_measured(brew, "boiled") or 0.0,
        dry_g=0.0 if fresh else brew.mass_g,
        fresh_g=brew.mass_g if fresh else 0.0,
        strained_ml=_measured(brew, "strained"),
        fresh_water_pct=(low, high),
    )


def _measured(brew: Brew, step: str) -> float | None:
    volumes = [volume for what, volume in brew.steps if what == step and volume is not None]
    return volumes[-1] if volumes else None
