"""Which of a farm's loads and picks tell how a variety dries down: its runs."""

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from harvestlog.calc.drying import dry_down_ratio
from harvestlog.calc.estimates import Estimate

LIGHTEST_G = 0.001  # what a typed mass is rounded to: less was never weighed
OWN_LOAD = "its own load"
OWN_MIXED_LOAD = "the mean of its own load, which was mixed"


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
class Run:
    """What one load of a single variety tells, or one pick dried alone: then `load` and `method` are None.

    log_ratio: the logarithm of its dry-down ratio, reckoned once as every other load's estimate asks for it.
    """

    wet_g: float
    dry_g: float
    log_ratio: float
    load: str | None = None
    method: str | None = None


@dataclass(frozen=True, kw_only=True)
class Runs:
    """A farm's runs sorted once by variety, each in the order given."""

    of_loads: Mapping[str, Sequence[Run]]
    of_picks: Mapping[str, Sequence[Run]]


def sorted_runs(loads: Iterable[Load], picks: Iterable[DriedPick]) -> Runs:
    """The runs that tell how varieties dry down: finished loads of one variety each, and picks that lay in no load.

    A run that weighs more dried than wet, or nothing, is left out: it is asked about where it stands. Source: our rule.
    """
    of_loads: defaultdict[str, list[Run]] = defaultdict(list)
    of_picks: defaultdict[str, list[Run]] = defaultdict(list)
    in_loads: set[str | None] = set()
    for load in loads:
        in_loads.update(part.pick for part in load.parts)
        variety, wet_g, dry_g = _only_variety(load), sum(part.wet_g for part in load.parts), load.dry_g
        if variety is not None and dry_g is not None and _usable(wet_g, dry_g):
            of_loads[variety].append(_run(wet_g, dry_g, load.id, load.method))
    for pick in picks:
        if pick.id not in in_loads and _usable(pick.wet_g, pick.dry_g):
            of_picks[pick.variety].append(_run(pick.wet_g, pick.dry_g))
    return Runs(of_loads=of_loads, of_picks=of_picks)


def _only_variety(load: Load) -> str | None:
    varieties = {part.variety for part in load.parts}
    return varieties.pop() if len(varieties) == 1 else None


def _usable(wet_g: float, dry_g: float) -> bool:
    return LIGHTEST_G <= dry_g <= wet_g


def _run(wet_g: float, dry_g: float, load: str | None = None, method: str | None = None) -> Run:
    ratio = dry_down_ratio(wet_g, dry_g)
    return Run(wet_g=wet_g, dry_g=dry_g, log_ratio=math.log(ratio), load=load, method=method)


def own_ratio(load: Load) -> Estimate | None:
    """The dry-down ratio of what came out of this very load: weighed on both sides, so low and high are the value itself.

    Of several varieties it is their mean, and the basis says so. None where the load was not weighed both wet and dried,
    or weighs more dried than wet. Source: drying.dry_down_ratio. Raises nothing: an odd load is no ratio.
    """
    wet_g, dry_g = sum(part.wet_g for part in load.parts), load.dry_g
    if dry_g is None or not _usable(wet_g, dry_g):
        return None
    ratio = dry_down_ratio(wet_g, dry_g)
    mixed = len({part.variety for part in load.parts}) > 1
    return Estimate(value=ratio, low=ratio, high=ratio, n=1, basis=OWN_MIXED_LOAD if mixed else OWN_LOAD)


def runs_of(runs: Runs, variety: str | None, method: str | None, but_for: str | None = None) -> list[Run]:
    """The runs that tell how a variety dries down by a method; `but_for` is a load that shall not count.

    The rule, in three sentences. Finished loads of this variety alone, dried by this method, count whole. Where there is
    none, picks that carry their own dried weight count instead, as nobody said how they were dried; a pick that lay in a
    load is no run of its own. Without a method (None), all loads of the variety and all such picks count. Source: our rule.
    """
    if variety is None:
        return []
    of_loads = [
        run for run in runs.of_loads.get(variety, ()) if method in (None, run.method) and run.load != but_for
    ]
    if of_loads and method is not None:
        return of_loads
    return [*of_loads, *runs.of_picks.get(variety, ())]


def dry_down_history(
    loads: Sequence[Load], picks: Sequence[DriedPick], variety: str | None, method: str | None
) -> list[tuple[float, float]]:
    """The runs of runs_of as (wet_g, dry_g), loads first, each in the order given. Raises nothing: odd runs are left out."""
    return [(run.wet_g, run.dry_g) for run in runs_of(sorted_runs(loads, picks), variety, method)]
