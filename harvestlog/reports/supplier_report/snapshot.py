"""Makes the snapshot of a yield report: what a supplier may see of these records, with the figures of this moment."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from harvestlog.accounts.access import Member
from harvestlog.blocks.catalogue import load_catalogue
from harvestlog.blocks.models import Delivery, Variety
from harvestlog.calc.suppliers import Spread, SupplierHistory, supplier_history
from harvestlog.reports.names import Named, told_apart
from harvestlog.reports.queries import Told
from harvestlog.reports.supplier_report.blocks import Circumstances, block_seen
from harvestlog.reports.supplier_report.forms import ReportWanted
from harvestlog.reports.supplier_report.methods import method_notes
from harvestlog.reports.supplier_report.queries import Grounds, grounds, readings
from harvestlog.reports.supplier_report.rooms import Stay, letters, rooms, stays
from harvestlog.reports.supplier_report.sentences import sentences
from harvestlog.reports.supplier_report.shape import (
    BlockSeen,
    Chosen,
    Counts,
    DeliverySeen,
    Middle,
    PhotoSeen,
    RoomSeen,
    Snapshot,
    VarietySeen,
)
from harvestlog.reports.wording import day_words, period_words


def snapshot_of(member: Member, wanted: ReportWanted, now: datetime, zone: ZoneInfo) -> Snapshot:
    """Everything a report says, read now. Raises Refused where it names records that are not here."""
    found = grounds(member, wanted)
    places = {one.block.uuid: stays(one, now, zone) for one in found.blocks}
    every = [stay for theirs in places.values() for stay in theirs]
    seen = _blocks(found, places, Circumstances(now, zone, letters(every)))
    deliveries = [_delivery(row, found.blocks, seen, now, zone) for row in found.deliveries]
    history = supplier_history(one.grown(now, zone) for one in found.blocks)
    counts, varieties = _counts(history, found.blocks), _varieties(found, seen, now, zone)
    # A median over several varieties would say more of what was ordered than of what it gave.
    middle = varieties[0].g_per_kg_wet if len(varieties) == 1 else None
    return Snapshot(
        version=1,
        made=now,
        day=now.astimezone(zone).date(),
        zone=zone.key,
        title=_title([row.received for row in found.deliveries]),
        farm=found.farm.name,
        supplier=found.supplier.name,
        chosen=Chosen(every_delivery=not wanted.deliveries, since=wanted.since, until=wanted.until),
        counts=counts,
        g_per_kg_wet=middle,
        sentences=sentences(found.supplier.name, counts, middle, deliveries, varieties),
        varieties=varieties,
        deliveries=deliveries,
        rooms=_rooms(member, every, zone),
        photos=_photos(found.blocks, wanted.photos, zone),
        methods=method_notes(),
    )


def _blocks(
    found: Grounds, places: dict[UUID, list[Stay]], circumstances: Circumstances
) -> dict[UUID, BlockSeen]:
    names = _names(found)
    return {
        one.block.uuid: block_seen(
            one, names.get(one.block.variety, ""), places[one.block.uuid], circumstances
        )
        for one in found.blocks
    }


def _names(found: Grounds) -> dict[UUID, str]:
    """Of the varieties; two of one name are told apart by the end of their ids, as their strains are nobody's business."""
    return told_apart(Named(row.uuid, row.name) for row in found.varieties.values())


def _delivery(
    row: Delivery, blocks: Sequence[Told], seen: dict[UUID, BlockSeen], now: datetime, zone: ZoneInfo
) -> DeliverySeen:
    theirs = [one for one in blocks if one.block.delivery == row.uuid]
    return DeliverySeen(
        lot=row.lot,
        received=row.received,
        stored_c=row.stored_c,
        count=row.count,
        counts=_counts(supplier_history(one.grown(now, zone) for one in theirs), theirs),
        blocks=[seen[one.block.uuid] for one in theirs],
    )


def _varieties(
    found: Grounds, seen: dict[UUID, BlockSeen], now: datetime, zone: ZoneInfo
) -> list[VarietySeen]:
    apart: defaultdict[UUID, list[Told]] = defaultdict(list)
    for one in found.blocks:
        apart[one.block.variety].append(one)
    names = _names(found)
    rows = [
        _variety(names.get(of, ""), found.varieties.get(of), theirs, seen, now, zone)
        for of, theirs in apart.items()
    ]
    return sorted(rows, key=lambda row: row.name)


def _variety(
    name: str,
    variety: Variety | None,
    theirs: Sequence[Told],
    seen: dict[UUID, BlockSeen],
    now: datetime,
    zone: ZoneInfo,
) -> VarietySeen:
    history = supplier_history(one.grown(now, zone) for one in theirs)
    blocks = [seen[one.block.uuid] for one in theirs]
    return VarietySeen(
        name=name,
        species=_latin(variety.species) if variety else "",
        counts=_counts(history, theirs),
        failed=[block.label for block in blocks if block.outcome == "failed"],
        g_per_kg_wet=_middle(history.yield_g_per_kg_wet),
        efficiency_pct=_middle(history.efficiency_pct),
        days_to_first_harvest=_middle(history.days_to_first_harvest),
    )


def _latin(species: str) -> str:
    known = load_catalogue().species.get(species)
    return known.latin if known else ""


def _counts(history: SupplierHistory, theirs: Sequence[Told]) -> Counts:
    return Counts(
        recorded=history.received,
        opened=sum(any(h.what == "opened" for h in one.happenings) for one in theirs),
        finished=history.finished,
        failed=history.failed,
        unfinished=history.unfinished,
        contaminated=history.contaminated,
    )


def _middle(spread: Spread | None) -> Middle | None:
    return Middle(median=spread.median, low=spread.low, high=spread.high, n=spread.n) if spread else None


def _rooms(member: Member, every: list[Stay], zone: ZoneInfo) -> list[RoomSeen]:
    if not every:
        return []
    since, until = min(stay.since for stay in every), max(stay.until for stay in every)
    return rooms(every, readings(member, {stay.place for stay in every}, since, until), zone)


def _photos(blocks: Sequence[Told], ticked: Sequence[UUID], zone: ZoneInfo) -> list[PhotoSeen]:
    wanted = set(ticked)
    found = [(one, photo) for one in blocks for photo in one.photos if photo.uuid in wanted]
    return [
        PhotoSeen(
            block=one.block.label,
            stage=photo.stage,
            flush=photo.flush,
            taken=photo.taken.astimezone(zone).date(),
            sha256=photo.sha256,
            thumb_sha256=photo.thumb_sha256,
        )
        for one, photo in sorted(found, key=lambda each: (each[1].taken, each[1].uuid))
    ]


def _title(received: list[date]) -> str:
    if not received:
        return "Yield report, no deliveries"
    if len(received) == 1:
        return f"Yield report, delivery of {day_words(received[0])}"
    return f"Yield report, {len(received)} deliveries, {period_words(received[0], received[-1])}"
