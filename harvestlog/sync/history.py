"""The history of one record, as people ask for it: who changed what, on which phone, and what did not stand."""

from collections import defaultdict
from collections.abc import Sequence
from uuid import UUID

from django.db.models import OuterRef, QuerySet, Subquery

from harvestlog.accounts.access import Member, of_farm
from harvestlog.accounts.models import Phone
from harvestlog.accounts.refusals import absent
from harvestlog.sync.models import Change, Outvoted, Receipt

MOST_CHANGES = 200


def history(
    member: Member, kind: str, row: UUID, before: int | None = None, limit: int = MOST_CHANGES
) -> tuple[Sequence[Change], bool]:
    """The row's changes in the farm's order, newest first, of which `before` gives only those with a smaller seq.

    Beside its own fields each has `phone_name` and `received`, when the server took it (None where no receipt is left).
    The flag says whether there are older ones. A deleted row has its history too; another farm's has none: 404.
    """
    of_row = of_farm(Change.objects, member).filter(kind=kind, row=row)
    asked = of_row if before is None else of_row.filter(seq__lt=before)
    found = list(_with_names(asked).order_by("-seq")[: limit + 1])
    if not found and not of_row.exists():
        raise absent()
    return found[:limit], len(found) > limit


def _with_names(changes: QuerySet[Change]) -> QuerySet[Change]:
    """In the one query: a page of 200 changes by ten phones asks no more than a page of one."""
    phone = Phone.objects.filter(
        farm=OuterRef("farm"), person=OuterRef("person"), device=OuterRef("device")
    ).values("name")
    taken = Receipt.objects.filter(farm=OuterRef("farm"), op=OuterRef("op")).values("at")
    return changes.select_related("person").annotate(
        phone_name=Subquery(phone[:1]), received=Subquery(taken[:1])
    )


def unseen(member: Member, row: UUID) -> dict[int, list[str]]:
    """By the seq of a change, the fields in which it took the place of what whoever made it had not seen."""
    found: defaultdict[int, list[str]] = defaultdict(list)
    for outvoted in of_farm(Outvoted.objects, member).filter(row=row):
        found[outvoted.seq] += outvoted.fields
    return found
