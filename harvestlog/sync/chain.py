"""Notices that another history lies under the server: somebody put an older database file in place of the newer one.

Every applied operation extends a hash: chain(n) = sha256(chain(n-1), n, operation id), kept with its Change. Two
databases that agree on chain(n) agree on all of 1..n, because an operation id stands for one body for ever (receipts).
1. Each answer says where the history stands: `head` and its chain. A phone keeps the latest and sends it back as `seen`.
2. It is the head and not the cursor that is kept, also from answers to a push: a phone whose records were acknowledged
   but that has not read on yet has a cursor from before them, and would otherwise be the one that notices nothing.
3. The old file has another chain at `seen`, or none: then the farm begins a new epoch in that very request, once, under
   the farm's lock. So every phone starts again and sends its shelf, also those that have seen less than the old file.
4. Phones push before they pull: the check stands before the first operation of a push too, so that none is
   acknowledged by a history that is about to end. Nothing is written then, and the phone keeps it all.
5. A phone that sends no chain is judged by its number alone. Histories from before there were chains got them from
   the same hashes by migration, so that an old copy of such a history is recognised as well.
6. Phones that had seen no more than the old file match it, rightly: they lose nothing by it. What they are told next
   differs from what others have seen, and the first of those to ask tells the two histories apart.
A member's phone could lie about what it has seen and so make the farm's phones read again; the audit names its person.
"""

import hashlib
from collections.abc import Collection
from typing import NamedTuple
from uuid import UUID, uuid4

from django.db import transaction

from harvestlog.accounts.access import Member, hold_farm
from harvestlog.accounts.deeds import note
from harvestlog.accounts.models import Farm
from harvestlog.sync.models import Change


class Seen(NamedTuple):
    """How far a phone knows the farm's history; the chain is "" where it knows the number only."""

    head: int
    chain: str = ""


def extended(chain: str, seq: int, op: UUID) -> str:
    return hashlib.sha256(f"{chain} {seq} {op}".encode()).hexdigest()


def chain_at(farm: Farm, seq: int) -> str | None:
    """The hash of the history 1..seq, "" for the empty one; None when there is no such place in it."""
    if seq == 0:
        return ""
    return Change.objects.filter(farm=farm, seq=seq).values_list("chain", flat=True).first()


def is_another_history(farm: Farm, seen: Collection[Seen]) -> bool:
    return any(
        told.head > farm.seq or (told.chain != "" and chain_at(farm, told.head) != told.chain)
        for told in seen
    )


@transaction.atomic
def begin_again(member: Member, epoch: UUID, seen: Collection[Seen]) -> UUID:
    """The farm's epoch, a new one unless another request has begun it already."""
    hold_farm(member.farm_id)
    farm = Farm.objects.get(pk=member.farm_id)
    if farm.epoch == epoch and is_another_history(farm, seen):
        farm.epoch = uuid4()
        farm.save(update_fields=["epoch"])
        # The audit shows from which head on the records came back from phones.
        note("history_replaced", farm_id=farm.pk, by=member.person, about=farm.epoch, head=str(farm.seq))
    return farm.epoch
