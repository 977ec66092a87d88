"""Another phone of one's own: a code on the signed-in phone's screen, read by the new one's camera."""

from datetime import timedelta
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from harvestlog.accounts import queries, throttle
from harvestlog.accounts.access import Member, may_see_people, of_farm
from harvestlog.accounts.codes import digest, fresh_link_code
from harvestlog.accounts.deeds import note
from harvestlog.accounts.doors import Entry
from harvestlog.accounts.forms import PairForm
from harvestlog.accounts.models import Farm, Membership, PersonCode
from harvestlog.accounts.refusals import Refused, absent, not_allowed

PAIRING_LASTS = timedelta(minutes=10)
MOST_PAIRINGS = 5  # open at once, of one person


@transaction.atomic
def make_pairing(*, by: Member) -> tuple[PersonCode, str]:
    """An open pairing and its code, which is nowhere to be had again."""
    if Farm.objects.get(id=by.farm_id).is_demo:
        raise not_allowed("The demo farm stays on this phone. Start your own farm to use several phones.")
    if queries.open_pairings(by, everybodys=False).count() >= MOST_PAIRINGS:
        raise Refused(409, "too_many", "Five codes are open already. Use one, or wait ten minutes.")
    text, now = fresh_link_code(), timezone.now()
    code = PersonCode.objects.create(
        purpose=PersonCode.PAIR,
        person=by.person,
        farm_id=by.farm_id,
        code_hash=digest(text),
        made_by=by.person,
        made=now,
        expires=now + PAIRING_LASTS,
    )
    note("pairing_made", farm_id=by.farm_id, by=by.person, about=code.id)
    return code, text


@transaction.atomic
def withdraw_pairing(*, by: Member, pairing_id: UUID) -> None:
    """An owner may do it to any of the farm, others to their own."""
    theirs = of_farm(PersonCode.objects.filter(id=pairing_id, purpose=PersonCode.PAIR, used=None), by)
    if not may_see_people(by):
        theirs = theirs.filter(person=by.person)
    gone, _ = theirs.delete()
    if not gone:
        raise absent()
    note("pairing_withdrawn", farm_id=by.farm_id, by=by.person, about=pairing_id)


def pair(form: PairForm, *, address: str) -> Entry:
    """Whoever showed the code, in the farm they showed it in. One code signs one phone in."""
    this_try = throttle.knock(door="pair", account=form.code, address=address)
    now = timezone.now()
    with transaction.atomic():
        code = PersonCode.objects.filter(code_hash=digest(form.code), purpose=PersonCode.PAIR)
        # The UPDATE settles a race: it waits for the other phone, then finds the code used. It names columns of this
        # table alone: with a join PostgreSQL would have looked for the row before it waited, and not look again.
        if not code.filter(used=None, expires__gt=now).update(used=now):
            raise _wrong_pairing()
        row = code.select_related("person", "farm").get()
        member = Membership.objects.filter(farm=row.farm, person=row.person, person__is_active=True)
        if row.farm is None or not member.exists():
            raise _wrong_pairing()
        note("phone_paired", farm_id=row.farm_id, by=row.person, about=form.device)
    this_try.delete()
    return row.person, row.farm


def _wrong_pairing() -> Refused:
    return Refused(403, "wrong_code", "This code is used or older than ten minutes. Show a new one.")
