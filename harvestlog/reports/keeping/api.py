"""GET /api/reports/keeping: the server's own figures of drying, jars, soaking trials and extracts."""

from dataclasses import asdict
from typing import Any
from uuid import UUID

from ninja import Router, Schema

from harvestlog.accounts.access import MemberRequest
from harvestlog.accounts.answers import Problem
from harvestlog.reports.keeping import figures
from harvestlog.reports.keeping.queries import kept

router = Router(tags=["reports"])


class EstimateTold(Schema):
    """The likeliest value, the ends of its interval, the farm's own batches behind it, and in words what it rests on."""

    value: float
    low: float
    high: float
    n: int
    basis: str


class VerdictTold(Schema):
    verdict: str
    lost_g: float | None
    tolerance_g: float
    rose: list[int]
    says: str


class Said(Schema):
    """`says`: why a figure is missing, and what to do."""

    says: list[str]


class DryingReport(Said):
    id: UUID
    wet_g: float
    estimate: EstimateTold | None
    verdict: VerdictTold | None
    shares: dict[str, float]


class DryDownReport(Said):
    variety: UUID
    method: str
    estimate: EstimateTold | None


class JarReport(Said):
    id: UUID
    left_g: float | None
    fresh_equivalent: EstimateTold | None
    oxygen_ml: float | None


class RatioTold(Schema):
    minutes: float
    ratio: float


class PelegTold(Schema):
    k1: float
    k2: float
    m0: float


class TrialReport(Said):
    id: UUID
    ratio: list[RatioTold]
    coefficient: float | None
    peleg: PelegTold | None
    soak_minutes: float | None


class ExtractReport(Said):
    """The estimates are null together, where the figures allow none."""

    id: UUID
    steeped_ml: EstimateTold | None = None
    steeped_pct_vol: EstimateTold | None = None
    strained_ml: EstimateTold | None = None
    joined_ml: EstimateTold | None = None
    joined_pct_vol: EstimateTold | None = None
    spirit_still_ml: EstimateTold | None = None
    water_still_ml: EstimateTold | None = None
    assumptions: list[str] = []


class KeepingReport(Schema):
    dryings: list[DryingReport]
    dry_down: list[DryDownReport]
    jars: list[JarReport]
    trials: list[TrialReport]
    extracts: list[ExtractReport]


@router.get("/keeping", response={200: KeepingReport, 401: Problem})
def keeping_report(request: MemberRequest) -> KeepingReport:
    """Everything kept on the farm with its figures. None depends on a calendar day, so no time zone is asked."""
    farm = kept(request.auth)
    return KeepingReport(
        dryings=[DryingReport(**asdict(figures.load_figures(told, farm))) for told in farm.loads],
        dry_down=[DryDownReport(**asdict(one)) for one in figures.dry_down_figures(farm)],
        jars=[JarReport(**asdict(figures.jar_figures(told, farm))) for told in farm.jars],
        trials=[_trial(figures.trial_figures(told, farm)) for told in farm.trials],
        extracts=[_extract(figures.extract_figures(told)) for told in farm.extracts],
    )


def _trial(of: figures.TrialFigures) -> TrialReport:
    ratio = [{"minutes": minutes, "ratio": ratio} for minutes, ratio in of.ratio]
    return TrialReport(**asdict(of) | {"ratio": ratio})


def _extract(of: figures.ExtractFigures) -> ExtractReport:
    estimates: dict[str, Any] = asdict(of.estimates) if of.estimates else {}
    return ExtractReport(id=of.id, says=of.says, **estimates)
