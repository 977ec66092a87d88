"""Joins a farm's records to the sums of a season: days are those of the grower's calendar."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from harvestlog.accounts.access import Member
from harvestlog.blocks.models import Block, Delivery, Variety
from harvestlog.calc.figures import Grown
from harvestlog.calc.season import (
    LotYield,
    Paid,
    Season,
    Spent,
    best_first,
    in_words,
    lot_yield,
    season,
    spent,
)
from harvestlog.calc.suppliers import early_words, supplier_history
from harvestlog.harvests.models import Pick
from harvestlog.reports.dried import dried_shares
from harvestlog.reports.names import Named, told_apart
from harvestlog.reports.queries import Told, standing, told, weighable


@dataclass(frozen=True)
class Lot:
    """One delivery's blocks of one variety. early: what stands in place of a middle that cannot be given yet."""

    delivery: Delivery
    variety: UUID
    came_to: LotYield
    early: str


@dataclass(frozen=True)
class SeasonTold:
    season: Season
    names: Mapping[str, str]
    lots: Sequence[Lot]
    spent: Sequence[Spent]
    sentence: str
    troubles: Sequence[str]


def season_of(member: Member, first: date, last: date, now: datetime, zone: ZoneInfo) -> SeasonTold:
    """What was picked from `first` to `last`; lots and money are of the deliveries received in those days."""
    shares = dried_shares(member)
    blocks = [(each, each.grown(now, zone, shares)) for each in told(member, photos=False)]
    deliveries = standing(Delivery, member).filter(received__range=(first, last)).order_by("received", "seq")
    lots = _lots(blocks, {row.uuid for row in deliveries})
    sums = season([grown for _, grown in blocks], first, last)
    names = _names(member, sums)
    return SeasonTold(
        season=sums,
        names=names,
        lots=lots,
        spent=spent(Paid(row.price, row.currency) for row in deliveries),
        sentence=in_words(sums, first, last, names),
        troubles=[
            *_unweighed(sum(lot.came_to.unweighed for lot in lots)),
            *_shared(
                sum(_is_shared(pick, shares, first, last, zone) for each, _ in blocks for pick in each.picks)
            ),
            *_astray(_without_block(member, first, last, zone)),
        ],
    )


def _lots(blocks: Sequence[tuple[Told, Grown]], received: set[UUID]) -> list[Lot]:
    apart: defaultdict[tuple[UUID, UUID], list[Grown]] = defaultdict(list)
    delivered: dict[UUID, Delivery] = {}
    for each, grown in blocks:
        if each.delivery is not None and each.delivery.uuid in received:
            delivered[each.delivery.uuid] = each.delivery
            apart[each.delivery.uuid, each.block.variety].append(weighable(grown))
    lots = {
        f"{delivery} {variety}": Lot(
            delivered[delivery], variety, lot_yield(theirs), early_words(supplier_history(theirs))
        )
        for (delivery, variety), theirs in apart.items()
    }
    return [lots[key] for key in best_first({key: lot.came_to for key, lot in lots.items()})]


def _names(member: Member, sums: Season) -> dict[str, str]:
    rows = [Named(row.uuid, row.name, row.strain) for row in standing(Variety, member).order_by("seq")]
    kept = {str(row.id) for row in rows}
    gone = [UUID(each.variety) for each in sums.varieties if each.variety not in kept]
    names = told_apart(rows + [Named(id, "A variety that is not on record") for id in gone])
    return {str(id): name for id, name in names.items()}


def _without_block(member: Member, first: date, last: date, zone: ZoneInfo) -> int:
    """Picks of the span whose block was deleted or has not arrived yet."""
    begin = datetime.combine(first, time.min, zone)
    end = datetime.combine(last + timedelta(days=1), time.min, zone)
    known = standing(Block, member).values("uuid")
    picks = standing(Pick, member).filter(at__gte=begin, at__lt=end)
    return int(picks.exclude(block__in=known).count())


def _is_shared(pick: Pick, shares: Mapping[UUID, float], first: date, last: date, zone: ZoneInfo) -> bool:
    return pick.dry_g is None and pick.uuid in shares and first <= pick.at.astimezone(zone).date() <= last


def _unweighed(n: int) -> list[str]:
    blocks, them = ("1 finished block", "it") if n == 1 else (f"{n} finished blocks", "them")
    return [f"{blocks} without a wet mass: the lots leave {them} out. Weigh blocks on arrival."] if n else []


def _shared(n: int) -> list[str]:
    picks = "1 pick is its share" if n == 1 else f"{n} picks is their share"
    return [f"The dried mass of {picks} of a load, by fresh mass; nobody weighed it alone."] if n else []


def _astray(n: int) -> list[str]:
    picks = "1 pick is" if n == 1 else f"{n} picks are"
    return [f"{picks} left out, as no block on record gave {'it' if n == 1 else 'them'}."] if n else []
