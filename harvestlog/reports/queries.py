"""Turns a farm's records into what the calculations take. The phone does the same join; both must come to the same figures."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from types import MappingProxyType
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Model

from harvestlog.accounts.access import Member, of_farm
from harvestlog.blocks.models import Block, Delivery, Happening, Supplier, Variety
from harvestlog.calc.figures import BlockFigures, Grown, Picked, block_figures
from harvestlog.calc.forecast import AnotherSoak, Crop, NextFlush, crop, next_flush, worth_another_soak
from harvestlog.calc.states import Noted, PickedAt, Seen, State, block_state, contaminated_since, pins_since
from harvestlog.calc.suppliers import SupplierHistory, history_by_variety, supplier_history
from harvestlog.calc.yields import Basis
from harvestlog.harvests.models import Pick
from harvestlog.photos.models import Photo
from harvestlog.reports.pace import prior_of

ENDED = {"spent", "discarded"}
LEAST_BLOCK_G, LEAST_PICK_G = 1.0, 0.001


@dataclass
class Told:
    """Everything that was recorded of one block."""

    block: Block
    delivery: Delivery | None
    happenings: list[Happening] = field(default_factory=list)
    picks: list[Pick] = field(default_factory=list)
    photos: list[Photo] = field(default_factory=list)

    def noted(self) -> tuple[list[Noted], list[PickedAt], list[Seen]]:
        """What was noted, picked and photographed, as its state is worked out of it."""
        return (
            [Noted(h.what, h.at, h.until) for h in self.happenings],
            [PickedAt(p.at, p.flush) for p in self.picks],
            [Seen(p.stage, p.taken) for p in self.photos],
        )

    def state(self, now: datetime) -> State:
        return block_state(*self.noted(), now)

    def contaminated(self, now: datetime) -> bool:
        """Whether contamination was noted that nobody has dealt with: nothing more is expected of such a block."""
        return contaminated_since(self.noted()[0], now) is not None

    def grown(
        self, now: datetime, zone: ZoneInfo, dried: Mapping[UUID, float] = MappingProxyType({})
    ) -> Grown:
        """The block as the calculations want it; days are days of the calendar in `zone`.

        dried: dried grams of picks that were not weighed dry by themselves.
        """
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
                Picked(
                    day=p.at.astimezone(zone).date(),
                    wet_g=p.wet_g,
                    flush=p.flush,
                    dry_g=dried.get(p.uuid) if p.dry_g is None else p.dry_g,
                )
                for p in sorted(self.picks, key=lambda p: (p.at, p.uuid))
            ],
        )

    def crop(self, now: datetime, zone: ZoneInfo) -> Crop:
        """The block as a forecast reads it, seen from the day `now` is in `zone`."""
        soaks = [h.until for h in self.happenings if h.what == "soaked" and h.until is not None]
        pins = pins_since(*self.noted(), now)
        return crop(
            weighable(self.grown(now, zone)),
            now.astimezone(zone).date(),
            sorted(until.astimezone(zone).date() for until in soaks),
            pins.astimezone(zone).date() if pins else None,
        )


def weighable(grown: Grown) -> Grown:
    """The block without masses that no scale of a farm shows. Quotients of such slips are beyond all numbers."""
    basis = grown.basis
    tiny = basis.dry_g is not None and basis.dry_g < LEAST_BLOCK_G
    light = grown.wet_g is not None and grown.wet_g < LEAST_BLOCK_G
    return replace(
        grown,
        wet_g=None if light else grown.wet_g,
        basis=Basis(kind="none") if tiny or light else basis,
        picks=[
            replace(pick, dry_g=None) if pick.dry_g is not None and pick.dry_g < LEAST_PICK_G else pick
            for pick in grown.picks
            if pick.wet_g >= LEAST_PICK_G
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


def told(
    member: Member, block: UUID | None = None, *, alike: UUID | None = None, photos: bool = True
) -> list[Told]:
    """All blocks of a farm with what was recorded of each, in five reads however many there are.

    block: only this one. alike: only those of this block's variety, itself included. photos: whether they are read;
    no figure needs them, only the state does.
    """
    blocks = standing(Block, member).order_by("seq")
    about: dict[str, Any] = {}
    if block is not None:
        blocks, about = blocks.filter(uuid=block), {"block": block}
    if alike is not None:
        blocks = blocks.filter(variety__in=standing(Block, member).filter(uuid=alike).values("variety"))
        about = {"block__in": blocks.order_by().values("uuid")}
    deliveries = {row.uuid: row for row in standing(Delivery, member)}
    happenings = grouped(standing(Happening, member).filter(**about), "block")
    picks = grouped(standing(Pick, member).filter(**about), "block")
    pictures = grouped(standing(Photo, member).filter(**about) if photos else [], "block")
    return [
        Told(
            row,
            deliveries.get(row.delivery) if row.delivery else None,
            happenings[row.uuid],
            picks[row.uuid],
            pictures[row.uuid],
        )
        for row in blocks
    ]


@dataclass(frozen=True)
class BlockTold:
    """What can be said of one block today. The forecasts are None where it is over or contaminated; another_soak also before a flush."""

    state: State
    figures: BlockFigures
    next_flush: NextFlush | None
    another_soak: AnotherSoak | None


def figures_of(member: Member, block: UUID, now: datetime, zone: ZoneInfo) -> BlockTold | None:
    """State, figures and forecast of one block; None when this farm has no such block.

    The forecast leans on the farm's blocks of the same variety, and on what is usual of its species.
    """
    family = told(member, alike=block)
    own = next((each for each in family if each.block.uuid == block), None)
    if own is None:
        return None
    variety = standing(Variety, member).filter(uuid=own.block.variety).first()
    usual = prior_of(variety.species if variety else "")
    seen = own.crop(now, zone)
    others = [each.crop(now, zone) for each in family if each is not own]
    hopeless = seen.over or own.contaminated(now)
    return BlockTold(
        state=own.state(now),
        figures=block_figures(own.grown(now, zone)),
        next_flush=None if hopeless else next_flush(seen, others, usual),
        another_soak=None if hopeless else worth_another_soak(seen, others, usual),
    )


@dataclass(frozen=True)
class SupplierRow:
    supplier: Supplier
    all_blocks: SupplierHistory
    by_variety: list[tuple[Variety | None, SupplierHistory]]


def suppliers(member: Member, now: datetime, zone: ZoneInfo) -> list[SupplierRow]:
    """The plain history of every supplier of the farm, by name."""
    varieties = {str(row.uuid): row for row in standing(Variety, member)}
    theirs: defaultdict[UUID, list[Grown]] = defaultdict(list)
    for one in told(member, photos=False):
        if one.delivery is not None:
            theirs[one.delivery.supplier].append(one.grown(now, zone))
    return [
        SupplierRow(
            supplier,
            supplier_history(theirs[supplier.uuid]),
            [(varieties.get(key), of) for key, of in history_by_variety(theirs[supplier.uuid]).items()],
        )
        for supplier in standing(Supplier, member).order_by("name", "uuid")
    ]


def standing(model: type[Model], member: Member) -> Any:
    """The farm's rows of one kind that nobody deleted."""
    return of_farm(model._default_manager, member).filter(deleted=False)


def grouped(rows: Iterable[Any], field: str) -> defaultdict[UUID, list[Any]]:
    """The rows by the id in one of their fields, each group in the order given."""
    found: defaultdict[UUID, list[Any]] = defaultdict(list)
    for row in rows:
        found[getattr(row, field)].append(row)
    return found
