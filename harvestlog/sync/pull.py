"""Hands a phone every row that changed since its cursor, as one moment saw them."""

from collections.abc import Iterator
from contextlib import contextmanager
from heapq import merge as in_order
from itertools import islice
from uuid import UUID

from django.db import connection, transaction

from harvestlog.accounts.access import Member, of_farm
from harvestlog.accounts.models import Farm
from harvestlog.sync.forms import Pulled, PulledRow
from harvestlog.sync.kinds import KINDS, Kind


def pull(member: Member, epoch: UUID | None, since: int, limit: int) -> Pulled:
    """The next rows in the farm's order, tombstones included.

    A cursor of another epoch, or one ahead of the farm's head, comes from a history this database does not
    have (it was restored from an older copy): the phone is told to start again.
    """
    with one_moment():
        farm = Farm.objects.get(pk=member.farm_id)
        if farm.epoch != epoch or since > farm.seq:
            return Pulled(epoch=farm.epoch, reset=True)
        kinds = [_rows(kind, member, since, limit + 1) for kind in KINDS.values()]
        found = list(islice(in_order(*kinds, key=lambda row: row.seq), limit + 1))
    rows, more = found[:limit], len(found) > limit
    # On the last page the cursor goes to the head: rows that were changed again left gaps behind them.
    return Pulled(
        epoch=farm.epoch, rows=rows, upto=rows[-1].seq if more else farm.seq, more=more, head=farm.seq
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


@contextmanager
def one_moment() -> Iterator[None]:
    """One snapshot for several reads, without taking the write lock.

    Inside a transaction that is open already (a test's, say) it adds nothing.
    """
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "postgresql":
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
    else:
        # Django would begin IMMEDIATE here, as for a write; in WAL mode a deferred read waits for nobody.
        with connection.cursor() as cursor:
            cursor.execute("BEGIN DEFERRED")
            try:
                yield
            finally:
                cursor.execute("ROLLBACK")
