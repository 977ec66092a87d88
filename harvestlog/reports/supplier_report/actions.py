"""Makes and deletes yield reports, each with its line in the audit."""

import hashlib
from datetime import datetime
from uuid import UUID

from django.db import IntegrityError, transaction

from harvestlog.accounts.access import Member, of_farm
from harvestlog.accounts.deeds import note
from harvestlog.accounts.models import Farm
from harvestlog.accounts.moment import one_moment
from harvestlog.accounts.refusals import Refused, absent
from harvestlog.reports.models import SupplierReport
from harvestlog.reports.supplier_report.forms import ReportWanted
from harvestlog.reports.supplier_report.shape import Snapshot
from harvestlog.reports.supplier_report.snapshot import snapshot_of
from harvestlog.reports.zones import zone_named

# Nobody needs so many; anybody has the door to a demo farm open.
MOST_REPORTS, MOST_DEMO_REPORTS = 1000, 10


def make_report(*, by: Member, wanted: ReportWanted, now: datetime) -> tuple[SupplierReport, bool]:
    """The report, and whether it was made now: a phone that lost the answer asks the same again.

    A report that was deleted in between is made anew. Raises Refused: 409 where the id was used for another
    question, 422 where records that were asked for are not here.
    """
    zone = zone_named(wanted.zone)
    asked = hashlib.sha256(wanted.model_dump_json().encode()).hexdigest()
    former = _same(by, wanted, asked)
    if former is not None:
        return former, False
    _refuse_too_many(by)
    with one_moment():
        seen = snapshot_of(by, wanted, now, zone)
    report = _row(by, wanted, asked, seen)
    try:
        with transaction.atomic():
            report.save(force_insert=True)
            note("report_made", farm_id=by.farm_id, by=by.person, about=report.uuid)
    except IntegrityError:
        former = _same(by, wanted, asked)  # the same request, twice at once
        if former is None:
            raise
        return former, False
    return report, True


@transaction.atomic
def delete_report(*, by: Member, report: UUID) -> None:
    """The report and all its links. Raises Refused (404)."""
    gone, _ = of_farm(SupplierReport.objects, by).filter(uuid=report).delete()
    if not gone:
        raise absent()
    note("report_deleted", farm_id=by.farm_id, by=by.person, about=report)


def _row(by: Member, wanted: ReportWanted, asked: str, seen: Snapshot) -> SupplierReport:
    return SupplierReport(
        farm_id=by.farm_id,
        uuid=wanted.id,
        supplier=wanted.supplier,
        supplier_name=seen.supplier,
        title=seen.title,
        blocks=seen.counts.recorded,
        made=seen.made,
        by=by.person,
        asked=asked,
        snapshot=seen.model_dump(mode="json"),
    )


def _same(by: Member, wanted: ReportWanted, asked: str) -> SupplierReport | None:
    former = of_farm(SupplierReport.objects, by).filter(uuid=wanted.id).first()
    if former is not None and former.asked != asked:
        raise Refused(
            409, "id_reused", "This id was used for another report. Make the report anew, under a new id."
        )
    return former


def _refuse_too_many(by: Member) -> None:
    most = MOST_DEMO_REPORTS if Farm.objects.get(id=by.farm_id).is_demo else MOST_REPORTS
    if of_farm(SupplierReport.objects, by).count() >= most:
        raise Refused(409, "too_many", f"The farm has {most} reports, and keeps no more. Delete one first.")
