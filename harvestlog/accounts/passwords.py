"""Passwords: typed again before a sensitive act, changed, and chosen anew with a one-time code when forgotten."""

from datetime import timedelta
from uuid import UUID

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from harvestlog.accounts import throttle
from harvestlog.accounts.access import Member, of_farm, owner_under_lock
from harvestlog.accounts.codes import digest, fresh_link_code
from harvestlog.accounts.deeds import note
from harvestlog.accounts.doors import prove
from harvestlog.accounts.forms import NewPasswordForm, refuse_weak
from harvestlog.accounts.models import Invitation, Membership, Person, PersonCode, Phone
from harvestlog.accounts.refusals import Refused, absent, not_allowed

# A day: the code is told by telephone or message, and whoever waits for it may be out of signal until the evening.
CODE_LASTS = timedelta(hours=24)


def confirm(*, by: Member, password: str, address: str) -> None:
    """The password once more, throttled as signing in is. 403 for a wrong one, not 401: the phone stays signed in."""
    if not by.person.has_usable_password():
        raise not_allowed("The demo farm has no password.")
    try:
        prove(email=by.person.email or "", password=password, address=address, device=by.device)
    except Refused as refused:
        if refused.status == 401:
            raise Refused(403, "wrong_password", "That is not your password. Try again.") from None
        raise


def change_password(*, by: Member, password: str, new: str, address: str) -> None:
    """All other phones of this person are signed out: whoever changes a password often has a reason to.

    Whoever asks again, since the answer was lost, has changed it already: the new one proves that as well.
    """
    refuse_weak(new, email=by.person.email, name=by.person.name, field="new")
    try:
        confirm(by=by, password=password, address=address)
    except Refused as refused:
        if refused.code == "wrong_password" and check_password(new, by.person.password):
            return
        raise
    hashed = make_password(new)
    with transaction.atomic():
        _set_password(by.person, hashed, staying=by.phone_id)
        note("password_changed", farm_id=by.farm_id, by=by.person, about=by.person.id)


@transaction.atomic
def make_password_code(*, by: Member, person_id: UUID) -> tuple[PersonCode, str]:
    """A code with which a member of this farm chooses a new password, for its owner to hand on.

    Never for somebody who belongs to a farm that is not this owner's: the password opens that one as well.
    """
    owner_under_lock(by)
    if not of_farm(Membership.objects.filter(person_id=person_id), by).exists():
        raise absent()
    person = Person.objects.get(id=person_id)
    own = Membership.objects.filter(person=by.person, role="owner").values("farm")
    if Membership.objects.filter(person=person).exclude(farm__in=own).exists():
        raise Refused(
            409,
            "elsewhere_too",
            f"{person.name} belongs to another farm too, which the new password would open. "
            "Ask whoever runs the server for a code.",
        )
    code, text = _fresh_code(person, farm_id=by.farm_id, made_by=by.person)
    note("password_code_made", farm_id=by.farm_id, by=by.person, about=person.id)
    return code, text


@transaction.atomic
def console_password_code(email: str) -> str | None:
    """The same for whoever runs the server; None where nobody has this e-mail address."""
    person = Person.objects.filter(email=email.strip().casefold()).first()
    if person is None:
        return None
    _, text = _fresh_code(person, farm_id=None, made_by=None)
    note("password_code_made", farm_id=None, by=None, about=person.id)
    return text


def _fresh_code(person: Person, *, farm_id: UUID | None, made_by: Person | None) -> tuple[PersonCode, str]:
    """The former one is void."""
    PersonCode.objects.filter(person=person, purpose=PersonCode.PASSWORD, used=None).delete()
    text, now = fresh_link_code(), timezone.now()
    code = PersonCode.objects.create(
        purpose=PersonCode.PASSWORD,
        person=person,
        farm_id=farm_id,
        code_hash=digest(text),
        made_by=made_by,
        made=now,
        expires=now + CODE_LASTS,
    )
    return code, text


def choose_password(form: NewPasswordForm, *, address: str) -> Person:
    """The person whose new password it is from now on. They are signed out everywhere, and sign in with it."""
    this_try = throttle.knock(door="password", account=form.code, address=address)
    code = PersonCode.objects.filter(code_hash=digest(form.code), purpose=PersonCode.PASSWORD)
    found = (
        code.filter(used=None, expires__gt=timezone.now(), person__is_active=True)
        .select_related("person")
        .first()
    )
    if found is None:
        raise _wrong_code()
    refuse_weak(form.password, email=found.person.email, name=found.person.name)
    hashed = make_password(form.password)
    with transaction.atomic():
        if not code.filter(used=None).update(used=timezone.now()):
            raise _wrong_code()
        _set_password(found.person, hashed)
        note("password_set", farm_id=found.farm_id, by=found.person, about=found.person.id)
    this_try.delete()
    return found.person


def _set_password(person: Person, hashed: str, *, staying: UUID | None = None) -> None:
    """With the old password goes every other phone of this person's, and every open way in for them or made by them."""
    Person.objects.filter(id=person.id).update(password=hashed)
    leaving = Phone.objects.filter(person=person)
    if staying is not None:
        leaving = leaving.exclude(id=staying)
    leaving.update(session_hash="", confirmed=None)
    PersonCode.objects.filter(Q(person=person) | Q(made_by=person), used=None).delete()
    Invitation.objects.filter(made_by=person, used=None).delete()


def _wrong_code() -> Refused:
    return Refused(403, "wrong_code", "This code is used, expired or mistyped. Ask for a new one.")
