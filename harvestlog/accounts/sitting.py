"""Tying a session to a phone, and untying it."""

from uuid import UUID

from django.db import transaction
from django.http import HttpRequest
from django.middleware.csrf import rotate_token
from django.utils import timezone

from harvestlog.accounts.access import Member, with_key
from harvestlog.accounts.codes import digest
from harvestlog.accounts.deeds import note
from harvestlog.accounts.models import Farm, Person, Phone


@transaction.atomic
def sit_down(
    request: HttpRequest, *, person: Person, farm: Farm, device: UUID, name: str, typed: bool = True
) -> Phone:
    """Sign this phone in under a new session key; whatever was signed in with the old key is signed out.

    `typed`: the person has just typed their password, and need not again for a while.
    """
    _forget_key(request)
    request.session.flush()
    request.session.create()
    now = timezone.now()
    phone, _ = Phone.objects.update_or_create(
        farm=farm,
        person=person,
        device=device,
        defaults={
            "name": name,
            "session_hash": digest(request.session.session_key or ""),
            "former_hash": "",
            "signed_in": now,
            "last_seen": now,
            "confirmed": now if typed else None,
            "revoked": None,
        },
    )
    request.session["phone"] = str(phone.id)
    rotate_token(request)
    note("signed_in", farm_id=farm.id, by=person, about=device, phone=name)
    return phone


@transaction.atomic
def renew(request: HttpRequest, member: Member) -> None:
    """The password was typed again: the same sign-in under a new session key (ASVS 7.2.4), sure for a while.

    The former key, sure of nothing, ends when the new one is first used: should the answer with it be lost, the phone
    is not signed out.
    """
    former = digest(request.session.session_key or "")
    request.session.create()
    Phone.objects.filter(person=member.person, farm_id=member.farm_id, device=member.device).update(
        session_hash=digest(request.session.session_key or ""),
        former_hash=former,
        confirmed=timezone.now(),
    )


@transaction.atomic
def get_up(request: HttpRequest, member: Member | None) -> None:
    """Sign out. The phone stays known: its owner gets back in even while others are throttled."""
    _forget_key(request)
    request.session.flush()
    if member is not None:
        note("signed_out", farm_id=member.farm_id, by=member.person, about=member.device)


def _forget_key(request: HttpRequest) -> None:
    key = request.session.session_key
    if key:
        Phone.objects.filter(with_key(digest(key))).update(session_hash="", former_hash="")
