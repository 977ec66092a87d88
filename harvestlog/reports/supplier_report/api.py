"""/api/reports/supplier-reports: yield reports for one supplier and their files. An owner's business."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.utils import timezone
from ninja import Router, Schema, Status

from harvestlog.accounts.access import MemberRequest, owner_only
from harvestlog.accounts.answers import Invalid, Problem
from harvestlog.reports.models import Share, SupplierReport
from harvestlog.reports.supplier_report import actions as supplier_report_actions
from harvestlog.reports.supplier_report.files import FileName, file_answer
from harvestlog.reports.supplier_report.forms import ReportWanted
from harvestlog.reports.supplier_report.queries import made_report, made_reports
from harvestlog.reports.supplier_report.shape import Snapshot

router = Router(tags=["reports"], auth=owner_only)
REFUSALS: dict[Any, Any] = dict.fromkeys((400, 401, 403, 404, 413, 415), Problem) | {422: Invalid}


class ShareRow(Schema):
    id: UUID
    made: datetime
    expires: datetime
    revoked: datetime | None
    opened: int
    last_opened: datetime | None


class ReportRow(Schema):
    id: UUID
    made: datetime
    supplier: UUID
    supplier_name: str
    title: str
    blocks: int
    shares: list[ShareRow]


@router.post("/supplier-reports", response={200: ReportRow, 201: ReportRow, 409: Problem} | REFUSALS)
def make(request: MemberRequest, wanted: ReportWanted) -> Status[ReportRow]:
    """201: made now; 200: this very report had been made before."""
    report, is_new = supplier_report_actions.make_report(by=request.auth, wanted=wanted, now=timezone.now())
    return Status(201 if is_new else 200, _row(report))


@router.get("/supplier-reports", response={200: list[ReportRow], 401: Problem, 403: Problem})
def list_reports(request: MemberRequest) -> list[ReportRow]:
    return [_row(report) for report in made_reports(request.auth)]


@router.get("/supplier-reports/{uuid:report}", response={200: Snapshot} | REFUSALS)
def show(request: MemberRequest, report: UUID) -> Snapshot:
    """The snapshot: everything that the page, the PDF and the tables say."""
    return Snapshot.model_validate(made_report(request.auth, report).snapshot)


@router.delete("/supplier-reports/{uuid:report}", response={204: None} | REFUSALS)
def delete(request: MemberRequest, report: UUID) -> Status[None]:
    """With all its links."""
    supplier_report_actions.delete_report(by=request.auth, report=report)
    return Status(204, None)


@router.get("/supplier-reports/{uuid:report}/{name}", response={200: None} | REFUSALS)
def file(request: MemberRequest, report: UUID, name: FileName) -> HttpResponse:
    """report.pdf, report.html or report.zip (CSV tables and their descriptor)."""
    return file_answer(made_report(request.auth, report), name)


def _row(report: SupplierReport) -> ReportRow:
    links = sorted(report.shares.all(), key=lambda share: (share.made, share.id), reverse=True)
    return ReportRow(
        id=report.uuid,
        made=report.made,
        supplier=report.supplier,
        supplier_name=report.supplier_name,
        title=report.title,
        blocks=report.blocks,
        shares=[_share(link) for link in links],
    )


def _share(link: Share) -> ShareRow:
    return ShareRow(
        id=link.id,
        made=link.made,
        expires=link.expires,
        revoked=link.revoked,
        opened=link.opened,
        last_opened=link.last_opened,
    )
