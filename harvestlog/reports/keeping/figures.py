"""The figures of keeping. What a calculation refuses is left out, and its sentence says why."""

import math
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from itertools import product
from typing import Any, TypeVar, get_args
from uuid import UUID

from harvestlog.calc.drying import Verdict, allocate_dry_g
from harvestlog.calc.errors import Unacceptable
from harvestlog.calc.estimates import Estimate
from harvestlog.calc.extracts import DualExtract, dual_extract
from harvestlog.calc.kept import (
    came_back,
    dry_down,
    expected_dry_g,
    fresh_equivalent,
    jar_left_g,
    load_verdict,
    trial_curve,
    trial_ratios,
    two_stage,
)
from harvestlog.calc.rehydration import Peleg, soak_minutes
from harvestlog.calc.sealing import oxygen_ml
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
    loads = [other.load for other in farm.loads]
    figures.estimate = attempt(figures.says, expected_dry_g, load, loads, farm.picks, farm.species)
    figures.verdict = attempt(figures.says, load_verdict, told.weighings, told.drying.scale_step_g)
    if load.dry_g is not None:
        wet = {part: told_of.wet_g for part, told_of in parts.items()}
        figures.shares = attempt(figures.says, allocate_dry_g, wet, load.dry_g) or {}
    return figures


def dry_down_figures(farm: Kept) -> list[DryDownFigures]:
    """The dry-down of every variety by every method, whether the farm has run it or not."""
    loads = [told.load for told in farm.loads]
    found = []
    for variety, method in product(farm.species, get_args(Method)):
        one = DryDownFigures(variety=UUID(variety), method=method)
        one.estimate = attempt(one.says, dry_down, loads, farm.picks, variety, method, farm.species)
        found.append(one)
    return found


def jar_figures(told: JarTold, farm: Kept) -> JarFigures:
    jar, loads = told.jar, [other.load for other in farm.loads]
    figures = JarFigures(id=jar.uuid)
    figures.left_g = attempt(figures.says, jar_left_g, jar.dry_g, told.takings_g)
    ratio = attempt(figures.says, dry_down, loads, farm.picks, told.variety, told.method, farm.species)
    if figures.left_g is not None and ratio is not None:
        figures.fresh_equivalent = attempt(figures.says, fresh_equivalent, figures.left_g, ratio)
    if jar.container_ml is not None:
        figures.oxygen_ml = attempt(figures.says, oxygen_ml, jar.container_ml)
    return figures


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
