"""Hands a phone every row that changed since its cursor, as one moment saw them."""

from heapq import merge as in_order
from itertools import islice
from uuid import UUID

from harvestlog.accounts.access import Member, of_farm
from harvestlog.accounts.models import Farm
from harvestlog.accounts.moment import one_moment
from harvestlog.sync.chain import Seen, begin_again, chain_at, is_another_history
from harvestlog.sync.forms import OutvotedTold, Pulled, PulledRow
from harvestlog.sync.kinds import KINDS, Kind
from harvestlog.sync.outvoted import to_tell


def pull(member: Member, epoch: UUID | None, since: int, limit: int, seen: Seen | None = None) -> Pulled:
    """The next rows in the farm's order, tombstones included.

    A cursor of another epoch, or a phone that has seen another history than this one (chain.py), is told to start again.
    """
    told = [Seen(since), *([seen] if seen else [])]
    with one_moment():
        farm = Farm.objects.get(pk=member.farm_id)
        if farm.epoch != epoch:
            return Pulled(epoch=farm.epoch, reset=True)
        if not is_another_history(farm, told):
            return _page(farm, member, since, limit)
    return Pulled(epoch=begin_again(member, epoch, told), reset=True)


def _page(farm: Farm, member: Member, since: int, limit: int) -> Pulled:
    kinds = [_rows(kind, member, since, limit + 1) for kind in KINDS.values()]
    found = list(islice(in_order(*kinds, key=lambda row: row.seq), limit + 1))
    rows, more = found[:limit], len(found) > limit
    # On the last page the cursor goes to the head: rows that were changed again left gaps behind them.
    upto = rows[-1].seq if more else farm.seq
    chain = chain_at(farm, farm.seq) or ""
    return Pulled(
        epoch=farm.epoch,
        rows=rows,
        outvoted=[OutvotedTold.from_orm(each) for each in to_tell(member, since, upto)],
        upto=upto,
        more=more,
        head=farm.seq,
        chain=chain,
    )


def _rows(kind: Kind, member: Member, since: int, most: int) -> list[PulledRow]:
    rows = of_farm(kind.model._default_manager, member).filter(seq__gt=since).order_by("seq")[:most]
    return [
        PulledRow(
            kind=kind.name,
            id=row.uuid,
            seq=row.seq,
            deleted=row.deleted,
            author=row.author_id,
            fields=kind.written(row),
        )
        for row in rows
    ]
