"""What an owner does with the farm, its people and their phones."""

from datetime import timedelta
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from harvestlog.accounts import queries
from harvestlog.accounts.access import Member, hold_farm, may_see_people, of_farm, owner_under_lock
from harvestlog.accounts.codes import digest, fresh_link_code, fresh_setup_code, tidy_setup_code
from harvestlog.accounts.deeds import note
from harvestlog.accounts.models import Farm, Invitation, Membership, PersonCode, Phone, SetupCode
from harvestlog.accounts.refusals import Refused, absent, not_allowed

INVITATION_LASTS = timedelta(days=7)


@transaction.atomic
def console_setup_code() -> str | None:
    """A fresh XXXX-XXXX-XXXX for the console; the former one is void. None once there is a farm of one's own."""
    if not queries.first_run():
        return None
    code = fresh_setup_code()
    SetupCode.objects.filter(used=None).delete()
    SetupCode.objects.create(code_hash=digest(tidy_setup_code(code)), made=timezone.now())
    return code


@transaction.atomic
def change_farm(*, by: Member, name: str | None = None, currency: str | None = None) -> Farm:
    """None leaves a field as it is."""
    farm = Farm.objects.select_for_update().get(id=by.farm_id)
    farm.name = farm.name if name is None else name
    farm.currency = farm.currency if currency is None else currency
    farm.save(update_fields=["name", "currency"])
    note("farm_changed", farm_id=farm.id, by=by.person, about=farm.id, name=farm.name, currency=farm.currency)
    return farm


@transaction.atomic
def invite(*, by: Member, role: str) -> tuple[Invitation, str]:
    """An open invitation and its code, which is nowhere to be had again."""
    owner_under_lock(by)
    if Farm.objects.get(id=by.farm_id).is_demo:
        raise not_allowed("The demo farm is yours alone. Start your own farm to invite people.")
    code, now = fresh_link_code(), timezone.now()
    invitation = Invitation.objects.create(
        farm_id=by.farm_id,
        role=role,
        code_hash=digest(code),
        made_by=by.person,
        made=now,
        expires=now + INVITATION_LASTS,
    )
    note("invited", farm_id=by.farm_id, by=by.person, about=invitation.id, role=role)
    return invitation, code


@transaction.atomic
def withdraw_invitation(*, by: Member, invitation_id: UUID) -> None:
    gone, _ = of_farm(Invitation.objects.filter(id=invitation_id, used=None), by).delete()
    if not gone:
        raise absent()
    note("invitation_withdrawn", farm_id=by.farm_id, by=by.person, about=invitation_id)


@transaction.atomic
def change_role(*, by: Member, person_id: UUID, role: str) -> Membership:
    membership = _locked(by, person_id)
    former, membership.role = membership.role, role
    if former == "owner" and role != "owner":
        _keep_an_owner(by, person_id)
        _withdraw_ways_in_of(by, person_id)
    membership.save(update_fields=["role"])
    note("role_changed", farm_id=by.farm_id, by=by.person, about=person_id, former=former, role=role)
    return membership


@transaction.atomic
def remove_person(*, by: Member, person_id: UUID) -> None:
    """Out of the farm, signed out everywhere in it at once. What they recorded stays."""
    membership = _locked(by, person_id)
    if membership.role == "owner":
        _keep_an_owner(by, person_id)
    _withdraw_ways_in_of(by, person_id)
    membership.delete()
    of_farm(Phone.objects, by).filter(person_id=person_id).update(revoked=timezone.now(), session_hash="")
    of_farm(PersonCode.objects.filter(person_id=person_id, used=None), by).delete()
    note("person_removed", farm_id=by.farm_id, by=by.person, about=person_id, role=membership.role)


@transaction.atomic
def revoke_phone(*, by: Member, device: UUID) -> None:
    """Sign a device out at once. An owner may do it to any phone of the farm, others to their own."""
    hold_farm(by.farm_id)
    phones = of_farm(Phone.objects, by).filter(device=device, revoked=None)
    if not may_see_people(by):
        phones = phones.filter(person=by.person)
    whose = list(phones.values_list("person_id", flat=True))
    if not phones.update(revoked=timezone.now(), session_hash=""):
        raise absent()
    # Whoever has that phone in hand may have made a code on it a minute ago.
    of_farm(PersonCode.objects.filter(person__in=whose, purpose=PersonCode.PAIR, used=None), by).delete()
    note("phone_revoked", farm_id=by.farm_id, by=by.person, about=device)


def _locked(by: Member, person_id: UUID) -> Membership:
    """The membership, with the farm locked: two owners who demote each other go one after the other."""
    owner_under_lock(by)
    membership = of_farm(Membership.objects.filter(person_id=person_id), by).first()
    if membership is None:
        raise absent()
    return membership


def _keep_an_owner(by: Member, leaving: UUID) -> None:
    if not of_farm(Membership.objects.filter(role="owner"), by).exclude(person_id=leaving).exists():
        raise Refused(409, "last_owner", "A farm needs an owner. Make somebody else an owner first.")


def _withdraw_ways_in_of(by: Member, person_id: UUID) -> None:
    """What an owner had made for others could let them, or whoever has their phone, in again."""
    of_farm(Invitation.objects.filter(made_by_id=person_id, used=None), by).delete()
    of_farm(PersonCode.objects.filter(made_by_id=person_id, used=None), by).delete()
