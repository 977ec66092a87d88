"""The server's own figures: what the phone computes offline can be compared with these."""

from dataclasses import asdict
from typing import Any
from uuid import UUID

from django.utils import timezone
from ninja import Router, Schema

from harvestlog.accounts.access import MemberRequest
from harvestlog.accounts.answers import Invalid, Problem
from harvestlog.accounts.refusals import absent
from harvestlog.reports import queries
from harvestlog.reports.calendar.api import router as calendar
from harvestlog.reports.comparison.api import router as comparison
from harvestlog.reports.exports.api import router as exports
from harvestlog.reports.keeping.api import router as keeping
from harvestlog.reports.labels.api import router as labels
from harvestlog.reports.season.api import router as season
from harvestlog.reports.shares.api import router as shares
from harvestlog.reports.supplier_report.api import router as supplier_report
from harvestlog.reports.zones import zone_named

router = Router(tags=["reports"])
# Shares before the reports they lead to: Django takes the first path that fits, and that of a report's files fits theirs.
for part in (calendar, comparison, exports, keeping, labels, season, shares, supplier_report):
    router.add_router("", part)


class BlockReport(Schema):
    id: UUID
    state: str
    figures: dict[str, Any]
    next_flush: dict[str, Any] | None
    another_soak: dict[str, Any] | None


class VarietyReport(Schema):
    id: UUID | None
    name: str
    history: dict[str, Any]


class SupplierReport(Schema):
    id: UUID
    name: str
    history: dict[str, Any]
    varieties: list[VarietyReport]


@router.get("/blocks/{uuid:block}", response={200: BlockReport, 401: Problem, 404: Problem, 422: Invalid})
def block_report(request: MemberRequest, block: UUID, zone: str = "UTC") -> BlockReport:
    """One block's figures and forecast; `zone` says whose calendar days are counted, as an IANA name."""
    found = queries.figures_of(request.auth, block, timezone.now(), zone_named(zone))
    if found is None:
        raise absent()
    return BlockReport(id=block, **asdict(found))


@router.get("/suppliers", response={200: list[SupplierReport], 401: Problem, 422: Invalid})
def supplier_reports(request: MemberRequest, zone: str = "UTC") -> list[SupplierReport]:
    """Every supplier's plain history, over all blocks and by variety."""
    return [
        SupplierReport(
            id=row.supplier.uuid,
            name=row.supplier.name,
            history=asdict(row.all_blocks),
            varieties=[
                VarietyReport(
                    id=variety.uuid if variety else None,
                    name=variety.name if variety else "",
                    history=asdict(of),
                )
                for variety, of in row.by_variety
            ],
        )
        for row in queries.suppliers(request.auth, timezone.now(), zone_named(zone))
    ]
