"""GET /api/reports/comparison: whose blocks do better, and how sure that is."""

from dataclasses import asdict
from datetime import date
from typing import Literal
from uuid import UUID

from django.utils import timezone
from ninja import Router, Schema

from harvestlog.accounts.access import MemberRequest
from harvestlog.accounts.answers import Invalid, Problem
from harvestlog.accounts.refusals import absent
from harvestlog.calc.comparison.answer import Behind, Counted, Pair, SupplierFigures, Unit, Verdict
from harvestlog.reports.comparison.queries import Compared, compared
from harvestlog.reports.zones import zone_named

router = Router(tags=["reports"])


class FigureTold(Schema):
    """The three are null where nothing can be said; the sentence says why."""

    value: float | None
    low: float | None
    high: float | None
    n: int
    unfinished: int
    sentence: str


class BlockBehind(Schema):
    block: UUID
    label: str
    variety: UUID
    counted: Counted
    so_far: float | None
    taken_as: float | None
    weight: float | None


class SupplierCompared(Schema):
    id: UUID
    name: str
    received: int
    finished: int
    unfinished: int
    failed: int
    contaminated: int
    typical: FigureTold
    expected: FigureTold
    failures: FigureTold
    days_to_first_harvest: FigureTold
    currency: str
    price_per_kg_fresh: FigureTold
    price_per_100_g_dried: FigureTold
    behind: list[BlockBehind]


class PairCompared(Schema):
    first: UUID
    second: UUID
    chance: float
    times: FigureTold
    enough: bool
    alike: bool
    verdict: Verdict


class VarietyTold(Schema):
    id: UUID
    name: str
    blocks: int


class ComparisonReport(Schema):
    day: date
    unit: Unit
    level: float
    sentence: str
    price_sentence: str
    variety: UUID | None
    varieties: list[VarietyTold]
    suppliers: list[SupplierCompared]
    pairs: list[PairCompared]
    troubles: list[str]


@router.get("/comparison", response={200: ComparisonReport, 401: Problem, 404: Problem, 422: Invalid})
def comparison(
    request: MemberRequest, zone: str = "UTC", variety: UUID | Literal[""] = ""
) -> ComparisonReport:
    """Every supplier's figures and what can be said of each two, over all blocks or those of one variety."""
    chosen = variety or None
    found = compared(request.auth, chosen, timezone.now(), zone_named(zone))
    if found is None:
        raise absent()
    told = found.comparison
    return ComparisonReport(
        day=told.day,
        unit=told.unit,
        level=told.level,
        sentence=told.sentence,
        price_sentence=told.price_sentence,
        variety=chosen,
        varieties=[VarietyTold(**asdict(each)) for each in found.varieties],
        suppliers=[_supplier(each, found) for each in told.suppliers],
        pairs=[_pair(each, found) for each in told.pairs],
        troubles=[*told.troubles, *found.troubles],
    )


def _supplier(of: SupplierFigures, found: Compared) -> SupplierCompared:
    said = asdict(of) | {"id": found.supplier_of[of.supplier], "name": of.supplier}
    return SupplierCompared(**said | {"behind": [_behind(each, found) for each in of.behind]})


def _behind(each: Behind, found: Compared) -> BlockBehind:
    block = found.told_of[each.key].block
    return BlockBehind(**asdict(each), block=block.uuid, label=block.label, variety=block.variety)


def _pair(pair: Pair, found: Compared) -> PairCompared:
    ids = {"first": found.supplier_of[pair.first], "second": found.supplier_of[pair.second]}
    return PairCompared(**asdict(pair) | ids)
