"""Reads: who is signed in, what the farm page shows, whether anybody has begun here yet."""

from django.conf import settings
from django.db.models import QuerySet
from django.utils import timezone

from harvestlog.accounts import answers
from harvestlog.accounts.access import Member, may_see_people, of_farm
from harvestlog.accounts.models import Farm, Invitation, Membership, Person, PersonCode, Phone


def first_run() -> bool:
    """No farm of one's own yet; demo farms do not count."""
    return not Farm.objects.filter(is_demo=False).exists()


def demo_open() -> bool:
    return _demo_open(first_run=first_run())


def _demo_open(*, first_run: bool) -> bool:
    """HARVESTLOG_DEMO: until there is a farm by default ("first_run"), "always", or "never"."""
    wanted = settings.HARVESTLOG_DEMO or "first_run"
    return wanted == "always" or (wanted == "first_run" and first_run)


def signed_out() -> answers.SignedOutSession:
    first = first_run()
    return answers.SignedOutSession(
        first_run=first, demo=_demo_open(first_run=first), version=settings.VERSION
    )


def session(member: Member) -> answers.Session:
    first = first_run()
    farm = Farm.objects.get(id=member.farm_id)
    return answers.Session(
        first_run=first,
        demo=_demo_open(first_run=first),
        version=settings.VERSION,
        person=answers.SessionPerson(
            id=member.person.id, name=member.person.name, email=member.person.email or ""
        ),
        farm=answers.SessionFarm(
            id=farm.id, name=farm.name, role=member.role, currency=farm.currency, is_demo=farm.is_demo
        ),
        epoch=farm.epoch,
        server_time=timezone.now(),
    )


def farms_of(person: Person) -> QuerySet[Farm]:
    return Farm.objects.filter(memberships__person=person).order_by("name", "id")


def farm_page(member: Member) -> answers.FarmPage:
    farm = Farm.objects.get(id=member.farm_id)
    all_of_it = may_see_people(member)
    return answers.FarmPage(
        id=farm.id,
        name=farm.name,
        role=member.role,
        currency=farm.currency,
        people=_people(member, emails=all_of_it),
        phones=_phones(member, everybodys=all_of_it),
        invitations=_invitations(member) if all_of_it else [],
        pairings=_pairings(member, everybodys=all_of_it),
    )


def _people(member: Member, *, emails: bool) -> list[answers.FarmPerson]:
    rows = of_farm(Membership.objects, member).select_related("person").order_by("person__name", "id")
    return [
        answers.FarmPerson(
            id=row.person.id,
            name=row.person.name,
            email=row.person.email if emails or row.person == member.person else None,
            role=row.role,
            you=row.person == member.person,
        )
        for row in rows
    ]


def _phones(member: Member, *, everybodys: bool) -> list[answers.FarmPhone]:
    """Phones somebody is signed in on, last used first."""
    rows = of_farm(Phone.objects, member).filter(revoked=None).exclude(session_hash="")
    if not everybodys:
        rows = rows.filter(person=member.person)
    return [
        answers.FarmPhone(
            device=row.device,
            name=row.name,
            person=row.person_id,
            last_seen=row.last_seen,
            this=row.id == member.phone_id,
        )
        for row in rows.order_by("-last_seen", "id")
    ]


def _invitations(member: Member) -> list[answers.OpenInvitation]:
    rows = of_farm(Invitation.objects, member).filter(used=None, expires__gt=timezone.now())
    return [
        answers.OpenInvitation(id=row.id, role=row.role, expires=row.expires)
        for row in rows.order_by("expires", "id")
    ]


def open_pairings(member: Member, *, everybodys: bool) -> QuerySet[PersonCode]:
    """Codes that still sign another phone in to this farm: everybody's, or this person's own."""
    rows = of_farm(PersonCode.objects, member).filter(
        purpose=PersonCode.PAIR, used=None, expires__gt=timezone.now()
    )
    return rows if everybodys else rows.filter(person=member.person)


def _pairings(member: Member, *, everybodys: bool) -> list[answers.OpenPairing]:
    rows = open_pairings(member, everybodys=everybodys).order_by("expires", "id")
    return [answers.OpenPairing(id=row.id, person=row.person_id, expires=row.expires) for row in rows]
