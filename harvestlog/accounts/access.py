"""Who may see and change what. Every app asks here; nothing else decides."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, TypeVar
from uuid import UUID

from django.conf import settings
from django.db import DatabaseError
from django.db.models import F, Manager, Model, OuterRef, Q, QuerySet, Subquery
from django.http import HttpRequest
from django.utils import timezone
from ninja.security import APIKeyCookie

from harvestlog.accounts.codes import digest
from harvestlog.accounts.models import Farm, Membership, Person, Phone
from harvestlog.accounts.refusals import not_allowed, password_wanted, signed_out

M = TypeVar("M", bound=Model)

IDLE = timedelta(days=45)
OLDEST = timedelta(days=180)
# Long enough for one errand among people and links, short enough for a phone left lying. Our own choice, no source.
SURE_FOR = timedelta(minutes=10)
# Writing "last seen" at every request would make every read a write.
SEEN_EVERY = timedelta(hours=1)


@dataclass(frozen=True)
class Member:
    """A signed-in phone: this person, in this farm, in this role, on this device.

    `phone_id` is None only where the server itself writes, as when it fills a demo farm. `confirmed`: when the password
    was last typed on this phone.
    """

    person: Person
    farm_id: UUID
    role: str
    device: UUID
    phone_id: UUID | None = None
    confirmed: datetime | None = None


class MemberRequest(HttpRequest):
    """What a view behind `signed_in` or `owner_only` is given."""

    auth: Member


def member_of(request: HttpRequest) -> Member | None:
    """The member behind the session, or None: signed out, revoked, removed, switched off, idle or too old."""
    phone_id = request.session.get("phone")
    if not phone_id:
        return None
    now = timezone.now()
    key = digest(request.session.session_key or "")
    phone = (
        Phone.objects.filter(
            with_key(key),
            id=phone_id,
            revoked=None,
            person__is_active=True,
            signed_in__gt=now - OLDEST,
            last_seen__gt=now - IDLE,
        )
        .select_related("person")
        .annotate(role=_role())
        .first()
    )
    if phone is None or phone.role is None:
        return None
    if phone.last_seen <= now - SEEN_EVERY and _write(phone, last_seen=now):
        request.session.modified = True  # renews the cookie: it is idle time that counts, not age
    if phone.session_hash != key:
        return Member(phone.person, phone.farm_id, phone.role, phone.device, phone.id)
    if phone.former_hash:
        _write(phone, former_hash="")
    return Member(phone.person, phone.farm_id, phone.role, phone.device, phone.id, phone.confirmed)


def with_key(key: str) -> Q:
    """The phone that may be used with a session key of this digest, or with the one that follows it."""
    return Q(session_hash=key) | Q(former_hash=key) & ~Q(session_hash="")


def still_member(member: Member) -> Member | None:
    """The same member in today's role, or None: removed, revoked or switched off since the request began.

    To be asked again under a lock, in one query. The server itself (no phone) is always let in.
    """
    if member.phone_id is None:
        return member
    phones = Phone.objects.filter(id=member.phone_id, revoked=None, person__is_active=True)
    role = phones.annotate(role=_role()).values_list("role", flat=True).first()
    return None if role is None else replace(member, role=role)


def owner_under_lock(member: Member) -> None:
    """Holds the farm until the transaction ends, and asks again: the guard looked before, and this may be no owner now.

    Whoever is sending records meanwhile has sent them before it is done, or is refused after it.
    """
    hold_farm(member.farm_id)
    now = still_member(member)
    if now is None or now.role != "owner":
        raise not_allowed()


def hold_farm(farm_id: UUID) -> None:
    """Holds the farm's row until the transaction ends, on SQLite and PostgreSQL alike."""
    Farm.objects.filter(id=farm_id).update(seq=F("seq"))


def _role() -> Subquery:
    """The role of a phone's person in the phone's farm; NULL for who does not belong to it."""
    membership = Membership.objects.filter(farm=OuterRef("farm"), person=OuterRef("person"))
    return Subquery(membership.values("role")[:1])


def _write(phone: Phone, **fields: Any) -> bool:
    """What is only noted in passing: a full disk must not stop people from reading."""
    try:
        return bool(Phone.objects.filter(id=phone.id).update(**fields))
    except DatabaseError:
        return False


def of_farm(rows: QuerySet[M] | Manager[M], member: Member) -> QuerySet[M]:
    """Only this farm's rows. Another farm's record is simply not there."""
    return rows.filter(farm_id=member.farm_id)


def may_write(role: str, writers: Collection[str]) -> bool:
    """Whether a role may change a kind of record; `writers` are the roles that kind names."""
    return role in writers


def may_see_people(member: Member) -> bool:
    """E-mail addresses, other people's phones and open invitations are the owners' business."""
    return member.role == "owner"


def recently_confirmed(member: Member) -> None:
    """403 "confirm" unless the password was typed on this phone in the last ten minutes.

    Asked before acts that give others a way in or the farm's records away: a phone that lies about unlocked must not be
    enough for them. A demo farm's visitor has no password and is never asked.
    """
    if member.phone_id is None or not member.person.has_usable_password():
        return
    if member.confirmed is None or member.confirmed <= timezone.now() - SURE_FOR:
        raise password_wanted()


class SignedIn(APIKeyCookie):
    """Guard of an operation: 401 unless a member asks; the view finds the member in `request.auth`.

    django-ninja would check the CSRF token here, and only here, so not on operations without a guard.
    urls.py gives every operation back to Django's own CSRF middleware instead.
    """

    param_name = settings.SESSION_COOKIE_NAME

    def __init__(self) -> None:
        super().__init__(csrf=False)

    def authenticate(self, request: HttpRequest, key: str | None) -> Member:
        member = member_of(request)
        if member is None:
            raise signed_out()
        return member


class OwnerOnly(SignedIn):
    """Guard of an operation that only an owner may call: 401 signed out, 403 in another role."""

    def authenticate(self, request: HttpRequest, key: str | None) -> Member:
        member = super().authenticate(request, key)
        if member.role != "owner":
            raise not_allowed()
        return member


class Sure(SignedIn):
    """Guard of a sensitive operation that any role may call: 401, or 403 "confirm"."""

    def authenticate(self, request: HttpRequest, key: str | None) -> Member:
        member = super().authenticate(request, key)
        recently_confirmed(member)
        return member


class SureOwner(OwnerOnly):
    """Guard of a sensitive operation for owners: 401, 403 in another role, 403 "confirm"."""

    def authenticate(self, request: HttpRequest, key: str | None) -> Member:
        member = super().authenticate(request, key)
        recently_confirmed(member)
        return member


signed_in = SignedIn()
owner_only = OwnerOnly()
sure = Sure()
sure_owner = SureOwner()
