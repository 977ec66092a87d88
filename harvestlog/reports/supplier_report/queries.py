"""Reads what a yield report is made from, and the reports that were made."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from harvestlog.accounts.access import Member, of_farm
from harvestlog.accounts.models import Farm
from harvestlog.accounts.refusals import absent, invalid
from harvestlog.blocks.models import Delivery, Supplier, Variety
from harvestlog.keeping.models import Reading
from harvestlog.reports.models import SupplierReport
from harvestlog.reports.queries import Told, told
from harvestlog.reports.supplier_report.forms import ReportWanted
from harvestlog.reports.supplier_report.rooms import ReadingAt


@dataclass(frozen=True)
class Grounds:
    """The records of one supplier that a report speaks of, and of no other."""

    farm: Farm
    supplier: Supplier
    deliveries: list[Delivery]
    blocks: list[Told]
    varieties: dict[UUID, Variety]


def grounds(member: Member, wanted: ReportWanted) -> Grounds:
    """Raises Refused (422) where a supplier, delivery or photo that was asked for is not here."""
    supplier = of_farm(Supplier.objects, member).filter(uuid=wanted.supplier, deleted=False).first()
    if supplier is None:
        raise _not_here("supplier")
    theirs = of_farm(Delivery.objects, member).filter(supplier=supplier.uuid, deleted=False)
    deliveries = _chosen(list(theirs.order_by("received", "seq")), wanted)
    ids = {delivery.uuid for delivery in deliveries}
    blocks = [one for one in told(member) if one.delivery is not None and one.delivery.uuid in ids]
    if set(wanted.photos) - {photo.uuid for one in blocks for photo in one.photos}:
        raise _not_here("photos")
    varieties = of_farm(Variety.objects, member).filter(uuid__in={one.block.variety for one in blocks})
    return Grounds(
        farm=Farm.objects.get(id=member.farm_id),
        supplier=supplier,
        deliveries=deliveries,
        blocks=blocks,
        varieties={row.uuid: row for row in varieties},
    )


def readings(member: Member, places: Collection[UUID], since: datetime, until: datetime) -> list[ReadingAt]:
    """Temperature and humidity noted at these places; a reading's note and its carbon dioxide stay behind."""
    rows = of_farm(Reading.objects, member).filter(
        deleted=False, place__in=places, at__gte=since, at__lte=until
    )
    found = rows.order_by("at", "uuid").values_list("place", "at", "temp_c", "rh_pct")
    return [ReadingAt(*row) for row in found]


def made_reports(member: Member) -> list[SupplierReport]:
    """Newest first, with their links; the snapshots stay in the database."""
    rows = of_farm(SupplierReport.objects, member).defer("snapshot").prefetch_related("shares")
    return list(rows.order_by("-made", "-id"))


def made_report(member: Member, report: UUID) -> SupplierReport:
    """One report of this farm. Raises Refused (404)."""
    row = of_farm(SupplierReport.objects, member).filter(uuid=report).first()
    if row is None:
        raise absent()
    return row


def _chosen(theirs: list[Delivery], wanted: ReportWanted) -> list[Delivery]:
    if set(wanted.deliveries) - {delivery.uuid for delivery in theirs}:
        raise _not_here("deliveries")
    return [
        delivery
        for delivery in theirs
        if (not wanted.deliveries or delivery.uuid in wanted.deliveries)
        and (wanted.since is None or delivery.received >= wanted.since)
        and (wanted.until is None or delivery.received <= wanted.until)
    ]


def _not_here(field: str) -> Exception:
    """Another farm's, another supplier's, deleted or not sent yet: nobody can tell which."""
    return invalid(field, "names a record that this report cannot use. Send your records, then choose again.")
