"""Turns a farm's records into what the calculations take. The phone does the same join; both must come to the same figures."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Model

from harvestlog.accounts.access import Member, of_farm
from harvestlog.blocks.models import Block, Delivery, Happening, Supplier, Variety
from harvestlog.calc.figures import BlockFigures, Grown, Picked, block_figures
from harvestlog.calc.states import Noted, PickedAt, Seen, State, block_state
from harvestlog.calc.suppliers import SupplierHistory, history_by_variety, supplier_history
from harvestlog.calc.yields import Basis
from harvestlog.harvests.models import Pick
from harvestlog.photos.models import Photo

ENDED = {"spent", "discarded"}


@dataclass
class Told:
    """Everything that was recorded of one block."""

    block: Block
    delivery: Delivery | None
    happenings: list[Happening] = field(default_factory=list)
    picks: list[Pick] = field(default_factory=list)
    photos: list[Photo] = field(default_factory=list)

    def state(self, now: datetime) -> State:
        return block_state(
            [Noted(h.what, h.at, h.until) for h in self.happenings],
            [PickedAt(p.at, p.flush) for p in self.picks],
            [Seen(p.stage, p.taken) for p in self.photos],
            now,
        )

    def grown(self, now: datetime, zone: ZoneInfo) -> Grown:
        """The block as the calculations want it; days are days of the calendar in `zone`."""
        opened = min((h.at for h in self.happenings if h.what == "opened"), default=None)
        return Grown(
            variety=str(self.block.variety),
            basis=_basis(self.block),
            wet_g=self.block.wet_g,
            received=self.delivery.received if self.delivery else None,
            opened=opened.astimezone(zone).date() if opened else None,
            ended=self.state(now) in ENDED,
            contaminated=any(h.what == "contamination" for h in self.happenings),
            picks=[
                Picked(day=p.at.astimezone(zone).date(), wet_g=p.wet_g, flush=p.flush, dry_g=p.dry_g)
                for p in sorted(self.picks, key=lambda p: (p.at, p.uuid))
            ],
        )


def _basis(block: Block) -> Basis:
    # A stated or oven-dried mass is the whole basis; only moisture needs the wet mass beside it.
    wet_g = block.wet_g if block.dry_basis in {"measured", "assumed"} else None
    return Basis(
        kind=block.dry_basis,  # type: ignore[arg-type]  # the form takes no other
        dry_g=block.dry_g,
        wet_g=wet_g,
        moisture_pct=block.moisture_pct,
        moisture_low_pct=block.moisture_low_pct,
        moisture_high_pct=block.moisture_high_pct,
    )


def told(member: Member, block: UUID | None = None) -> list[Told]:
    """All blocks of a farm (or one of them) with what was recorded of each, in five reads however many there are."""
    blocks = _standing(Block, member).order_by("seq")
    if block is not None:
        blocks = blocks.filter(uuid=block)
    deliveries = {row.uuid: row for row in _standing(Delivery, member)}
    about: dict[str, Any] = {} if block is None else {"block": block}
    happenings = _by_block(_standing(Happening, member).filter(**about))
    picks = _by_block(_standing(Pick, member).filter(**about))
    photos = _by_block(_standing(Photo, member).filter(**about))
    return [
        Told(
            row,
            deliveries.get(row.delivery) if row.delivery else None,
            happenings[row.uuid],
            picks[row.uuid],
            photos[row.uuid],
        )
        for row in blocks
    ]


def figures_of(
    member: Member, block: UUID, now: datetime, zone: ZoneInfo
) -> tuple[State, BlockFigures] | None:
    """State and figures of one block; None when this farm has no such block."""
    found = told(member, block)
    if not found:
        return None
    return found[0].state(now), block_figures(found[0].grown(now, zone))


@dataclass(frozen=True)
class SupplierRow:
    supplier: Supplier
    all_blocks: SupplierHistory
    by_variety: list[tuple[Variety | None, SupplierHistory]]


def suppliers(member: Member, now: datetime, zone: ZoneInfo) -> list[SupplierRow]:
    """The plain history of every supplier of the farm, by name."""
    varieties = {str(row.uuid): row for row in _standing(Variety, member)}
    theirs: defaultdict[UUID, list[Grown]] = defaultdict(list)
    for one in told(member):
        if one.delivery is not None:
            theirs[one.delivery.supplier].append(one.grown(now, zone))
    return [
        SupplierRow(
            supplier,
            supplier_history(theirs[supplier.uuid]),
            [(varieties.get(key), of) for key, of in history_by_variety(theirs[supplier.uuid]).items()],
        )
        for supplier in _standing(Supplier, member).order_by("name", "uuid")
    ]


def _standing(model: type[Model], member: Member) -> Any:
    return of_farm(model._default_manager, member).filter(deleted=False)


def _by_block(rows: Iterable[Any]) -> defaultdict[UUID, list[Any]]:
    found: defaultdict[UUID, list[Any]] = defaultdict(list)
    for row in rows:
        found[row.block].append(row)
    return found
