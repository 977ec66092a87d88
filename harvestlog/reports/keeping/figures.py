"""The figures of keeping. What a calculation refuses is left out, and its sentence says why."""

import math
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from itertools import product
from typing import Any, TypeVar, get_args
from uuid import UUID

from harvestlog.calc.brews import two_stage
from harvestlog.calc.drying import Verdict, allocate_dry_g
from harvestlog.calc.errors import Unacceptable
from harvestlog.calc.estimates import Estimate
from harvestlog.calc.extracts import DualExtract, dual_extract
from harvestlog.calc.jars import fresh_equivalent, jar_left_g
from harvestlog.calc.loads import expected_from, load_verdict
from harvestlog.calc.rehydration import Peleg, soak_minutes
from harvestlog.calc.runs import own_ratio
from harvestlog.calc.sealing import oxygen_ml
from harvestlog.calc.trials import came_back, trial_curve, trial_ratios
from harvestlog.keeping.forms import Method
from harvestlog.reports.keeping.queries import ExtractTold, JarTold, Kept, LoadTold, TrialTold

T = TypeVar("T")
BEYOND = "These figures lie too far apart to calculate with: check each of them."


@dataclass(kw_only=True)
class LoadFigures:
    """wet_g: all that went in. estimate: dried grams the other runs let expect. shares: dried grams of each part, by its id,
    shared out by wet mass and never weighed."""

    id: UUID
    wet_g: float
    estimate: Estimate | None = None
    verdict: Verdict | None = None
    shares: dict[str, float] = field(default_factory=dict)
    says: list[str] = field(default_factory=list)


@dataclass(kw_only=True)
class DryDownFigures:
    variety: UUID
    method: str
    estimate: Estimate | None = None
    says: list[str] = field(default_factory=list)


@dataclass(kw_only=True)
class JarFigures:
    id: UUID
    left_g: float | None = None
    fresh_equivalent: Estimate | None = None
    oxygen_ml: float | None = None
    says: list[str] = field(default_factory=list)


@dataclass(kw_only=True)
class TrialFigures:
    """ratio: (minutes, grams drained per gram dried). coefficient: of the last weighing, by the published fresh
    water; None where nothing is published for the species."""

    id: UUID
    ratio: list[tuple[float, float]] = field(default_factory=list)
    coefficient: float | None = None
    peleg: Peleg | None = None
    soak_minutes: float | None = None
    says: list[str] = field(default_factory=list)


@dataclass(kw_only=True)
class ExtractFigures:
    id: UUID
    estimates: DualExtract | None = None
    says: list[str] = field(default_factory=list)


def attempt(says: list[str], calculation: Callable[..., T], *args: Any) -> T | None:
    """What the calculation gives; None, and its sentence added to `says`, where it refuses or leaves the numbers."""
    try:
        found = calculation(*args)
    except Unacceptable as refusal:
        said = str(refusal)
    except ArithmeticError:
        said = BEYOND
    else:
        if _finite(found):
            return found
        said = BEYOND
    if said not in says:
        says.append(said)
    return None


def _finite(value: Any) -> bool:
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, dict):
        return all(_finite(each) for each in value.values())
    if isinstance(value, (list, tuple)):
        return all(_finite(each) for each in value)
    return not hasattr(value, "__dataclass_fields__") or _finite(asdict(value))


def load_figures(told: LoadTold, farm: Kept) -> LoadFigures:
    load, parts = told.load, told.parts
    figures = LoadFigures(id=told.drying.uuid, wet_g=sum(part.wet_g for part in load.parts))
    figures.estimate = attempt(figures.says, expected_from, farm.runs, farm.species, load)
    figures.verdict = attempt(figures.says, load_verdict, told.weighings, told.drying.scale_step_g)
    if load.dry_g is not None:
        wet = {part: told_of.wet_g for part, told_of in parts.items()}
        figures.shares = attempt(figures.says, allocate_dry_g, wet, load.dry_g) or {}
    return figures


def dry_down_figures(farm: Kept) -> list[DryDownFigures]:
    """The dry-down of every variety by every method, whether the farm has run it or not."""
    found = []
    for variety, method in product(farm.species, get_args(Method)):
        one = DryDownFigures(variety=UUID(variety), method=method)
        one.estimate = attempt(one.says, farm.ratio, variety, method)
        found.append(one)
    return found


def jar_figures(told: JarTold, farm: Kept) -> JarFigures:
    jar = told.jar
    figures = JarFigures(id=jar.uuid)
    figures.left_g = attempt(figures.says, jar_left_g, jar.dry_g, told.takings_g)
    ratio = _ratio_of(told, farm, figures.says)
    if figures.left_g is not None and ratio is not None:
        figures.fresh_equivalent = attempt(figures.says, fresh_equivalent, figures.left_g, ratio)
    if jar.container_ml is not None:
        figures.oxygen_ml = attempt(figures.says, oxygen_ml, jar.container_ml)
    return figures


def _ratio_of(told: JarTold, farm: Kept, says: list[str]) -> Estimate | None:
    """As its own load was weighed; else as the variety dries down on the farm by that load's method."""
    own = told.load and own_ratio(told.load)
    return own or attempt(says, farm.ratio, told.variety, told.load.method if told.load else None)


def trial_figures(told: TrialTold, farm: Kept) -> TrialFigures:
    dry_g, weighings = told.trial.dry_g, told.weighings
    figures = TrialFigures(id=told.trial.uuid)
    figures.ratio = attempt(figures.says, trial_ratios, dry_g, weighings) or []
    if weighings:
        species = farm.species.get(told.variety or "", "")
        figures.coefficient = attempt(figures.says, came_back, weighings[-1][1], dry_g, species)
    figures.peleg = attempt(figures.says, trial_curve, dry_g, weighings)
    if figures.peleg is not None:
        figures.soak_minutes = attempt(figures.says, soak_minutes, figures.peleg)
    return figures


def extract_figures(told: ExtractTold) -> ExtractFigures:
    row = told.extract
    figures = ExtractFigures(id=row.uuid)
    target = (row.target_low_pct, row.target_high_pct)
    figures.estimates = attempt(figures.says, dual_extract, two_stage(told.brew), target)
    return figures
