"""What a load in the dryer should end near by the farm's own runs, and what its weighings say."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from harvestlog.calc.drying import Verdict, constant_weight, estimate_from_logs
from harvestlog.calc.errors import NothingPicked
from harvestlog.calc.estimates import Estimate, published_prior
from harvestlog.calc.rehydration import dry_g_for_fresh
from harvestlog.calc.runs import DriedPick, Load, Runs, runs_of, sorted_runs

USUAL_STEP_G = 1.0  # of a kitchen scale, where the grower has not said (our assumption)


@dataclass(frozen=True, kw_only=True)
class LoadWeighing:
    """Minutes since the load was started, grams, and whether it was left to cool first."""

    minutes: float
    mass_g: float
    cooled: bool


def dry_down(
    loads: Sequence[Load],
    picks: Sequence[DriedPick],
    variety: str | None,
    method: str | None,
    species: Mapping[str, str],
) -> Estimate:
    """The dry-down ratio of the next run of a variety by a method, from the farm's own runs and what is published.

    `species` gives the catalogue key of each variety.
    Source: drying.estimate_dry_down on runs.runs_of and estimates.published_prior.
    """
    return dry_down_from(sorted_runs(loads, picks), species, variety, method)


def dry_down_from(
    runs: Runs,
    species: Mapping[str, str],
    variety: str | None,
    method: str | None,
    but_for: str | None = None,
) -> Estimate:
    """As dry_down, from runs sorted before; `but_for` is a load that shall not count."""
    logs = [run.log_ratio for run in runs_of(runs, variety, method, but_for)]
    return estimate_from_logs(logs, published_prior(species.get(variety or "", "")))


def expected_dry_g(
    load: Load, loads: Sequence[Load], picks: Sequence[DriedPick], species: Mapping[str, str]
) -> Estimate:
    """Dried grams a load should end near, with a 90 % interval; `species` gives the catalogue key of each variety.

    Neither the load itself nor its picks count among the runs: its own weight is to be held against the figure. Of several
    varieties the ends are added up, as if all strayed the same way: the interval is then rather too wide; n is the
    least of theirs. Source: estimates.shrunk by runs.runs_of, our rule.
    Raises NothingPicked, NotANumber, BelowZero, IsZero.
    """
    return expected_from(sorted_runs([*loads, load], picks), species, load)


def expected_from(runs: Runs, species: Mapping[str, str], load: Load) -> Estimate:
    """As expected_dry_g, from runs sorted before out of all loads, this one among them."""
    wet: dict[str | None, float] = {}
    for part in load.parts:
        wet[part.variety] = wet.get(part.variety, 0.0) + part.wet_g
    if not wet:
        raise NothingPicked("There is nothing in this load yet: put in the picks that are dried together.")
    found = [
        dry_g_for_fresh(grams, dry_down_from(runs, species, variety, load.method, but_for=load.id))
        for variety, grams in wet.items()
    ]
    return Estimate(
        value=sum(one.value for one in found),
        low=sum(one.low for one in found),
        high=sum(one.high for one in found),
        n=min(one.n for one in found),
        basis="; ".join(dict.fromkeys(one.basis for one in found)),
    )


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
