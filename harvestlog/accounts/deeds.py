"""The audit: call inside the transaction that does the deed, so that neither is there without the other."""

from uuid import UUID

from django.utils import timezone

from harvestlog.accounts.models import Deed, Person


def note(verb: str, *, farm_id: UUID | None, by: Person | None, about: object = "", **detail: str) -> None:
    """`verb` in the past tense; `about` an id; never a code, a password or a key."""
    Deed.objects.create(verb=verb, farm_id=farm_id, by=by, about=str(about), detail=detail, at=timezone.now())
