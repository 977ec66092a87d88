"""GET /api/reports/season: what the farm gave and cost over some months."""

from dataclasses import asdict
from datetime import date
from uuid import UUID

from django.utils import timezone
from ninja import Query, Router, Schema
from pydantic import Field

from harvestlog.accounts.access import MemberRequest
from harvestlog.accounts.answers import Invalid, Problem
from harvestlog.accounts.refusals import invalid
from harvestlog.accounts.wire import Day
from harvestlog.reports.season.queries import Lot, SeasonTold, season_of
from harvestlog.reports.zones import zone_named

router = Router(tags=["reports"])


class Span(Schema):
    zone: str = "UTC"
    first: Day | None = Field(None, alias="from")
    last: Day | None = Field(None, alias="to")


class WeekTold(Schema):
    monday: date
    varieties: dict[str, float]


class VarietyOfSeason(Schema):
    """dried_g: of the picks whose dried mass is known; null where it is of none."""

    id: UUID
    name: str
    fresh_g: float
    dried_g: float | None
    blocks: int
    picks: int


class SpreadTold(Schema):
    median: float
    low: float
    high: float
    n: int


class LotTold(Schema):
    """early: what stands in place of a middle where the finished blocks are too few; "" where there is one."""

    delivery: UUID
    supplier: UUID
    lot: str
    received: date
    variety: UUID
    blocks: int
    finished: int
    failed: int
    g_per_kg_wet: SpreadTold | None
    early: str


class SpentTold(Schema):
    """total: a decimal, as a delivery's price."""

    currency: str
    total: str
    deliveries: int
    without_price: int


class SeasonReport(Schema):
    first: date = Field(alias="from")
    last: date = Field(alias="to")
    weeks: list[WeekTold]
    varieties: list[VarietyOfSeason]
    flush_shares: dict[int, float]
    lots: list[LotTold]
    spent: list[SpentTold]
    sentence: str
    troubles: list[str]


@router.get("/season", response={200: SeasonReport, 401: Problem, 422: Invalid}, by_alias=True)
def season(request: MemberRequest, span: Query[Span]) -> SeasonReport:
    """Yields by week and variety, lots from best to worst and what was spent; the last 12 months unless days are given."""
    now, where = timezone.now(), zone_named(span.zone)
    last = span.last or now.astimezone(where).date()
    first = span.first or _a_year_before(last)
    if first > last:
        raise invalid("from", f"{first} comes after {last}: swap the two days.")
    return _report(season_of(request.auth, first, last, now, where), first, last)


def _a_year_before(day: date) -> date:
    """The day after the same day of the year before; of 29 February, 1 March."""
    if (day.month, day.day) == (2, 29):
        return date(day.year - 1, 3, 1)
    return date.fromordinal(day.replace(year=day.year - 1).toordinal() + 1)


def _report(told: SeasonTold, first: date, last: date) -> SeasonReport:
    return SeasonReport.model_validate(
        {
            "from": first,
            "to": last,
            "weeks": [{"monday": week.monday, "varieties": week.grams} for week in told.season.weeks],
            "varieties": [
                asdict(each) | {"id": each.variety, "name": told.names[each.variety]}
                for each in told.season.varieties
            ],
            "flush_shares": told.season.flush_shares,
            "lots": [_lot(lot) for lot in told.lots],
            "spent": [asdict(each) | {"total": f"{each.total:.2f}"} for each in told.spent],
            "sentence": told.sentence,
            "troubles": told.troubles,
        }
    )


def _lot(lot: Lot) -> LotTold:
    return LotTold(
        **asdict(lot.came_to),
        delivery=lot.delivery.uuid,
        supplier=lot.delivery.supplier,
        lot=lot.delivery.lot,
        received=lot.delivery.received,
        variety=lot.variety,
        early=lot.early,
    )
