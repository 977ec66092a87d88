"""The four ways in: signing in, setting up the first farm, joining by invitation, looking round the demo farm.

Each answers the person and the farm to sign in; passwords are hashed before any lock is taken.
"""

import logging
from uuid import UUID

from django.conf import settings
from django.contrib.auth.hashers import make_password
from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.module_loading import import_string

from harvestlog.accounts import queries, throttle
from harvestlog.accounts.codes import digest, tidy_setup_code
from harvestlog.accounts.deeds import note
from harvestlog.accounts.forms import DemoForm, JoinForm, SetupForm, SignInForm, refuse_weak
from harvestlog.accounts.models import Farm, Invitation, Membership, Person, Phone, SetupCode
from harvestlog.accounts.refusals import Refused, absent, invalid

Entry = tuple[Person, Farm]
MOST_DEMO_FARMS = 20
log = logging.getLogger(__name__)


def _wrong_sign_in(address: str) -> Refused:
    # Whose account is not said: what people type there by mistake is sometimes a password.
    log.warning("a sign-in from %s was refused", address)
    return Refused(401, "wrong_sign_in", "That e-mail address and password do not go together. Try again.")


def prove(*, email: str, password: str, address: str, device: UUID) -> Person:
    """The active person with this e-mail address and password; 401 otherwise, after the same work for everybody."""
    known = throttle.known_phone(email, device)
    this_try = throttle.knock(door="sign_in", account=email, address=address, device=device, known=known)
    person = Person.objects.filter(email=email).first()
    if person is None:
        make_password(password)  # as long as checking one, or the clock would tell who has an account
        raise _wrong_sign_in(address)
    if not person.check_password(password) or not person.is_active:
        raise _wrong_sign_in(address)
    this_try.delete()
    return person


def sign_in(form: SignInForm, *, address: str) -> Entry:
    person = prove(email=form.email, password=form.password, address=address, device=form.device)
    farms = list(queries.farms_of(person))
    if not farms:
        raise Refused(403, "no_farm", "You belong to no farm here any more. Ask an owner for an invitation.")
    if form.farm is not None:
        farms = [farm for farm in farms if farm.id == form.farm]
        if not farms:
            raise absent()
    if len(farms) > 1:
        choice = [{"id": str(farm.id), "name": farm.name} for farm in farms]
        raise Refused(409, "choose_farm", "You belong to several farms. Choose one.", farms=choice)
    return person, farms[0]


def set_up(form: SetupForm, *, address: str) -> Entry:
    """The first farm and its owner, for whoever has the code from the console. One code makes one farm."""
    refuse_weak(form.password, email=form.email, name=form.name)
    this_try = throttle.knock(door="setup", account="", address=address)
    code_hash = digest(tidy_setup_code(form.code))
    password = make_password(form.password)
    with transaction.atomic():
        entry = _first_farm(form, code_hash, password)
    this_try.delete()
    if entry is None:
        return _again(form, SetupCode.objects.get(code_hash=code_hash).farm, _wrong_setup_code(), address)
    if not queries.demo_open():
        _clear_demo_farms(keep=0)
    return entry


def _first_farm(form: SetupForm, code_hash: str, password: str) -> Entry | None:
    """None when this code has made its farm already."""
    code = SetupCode.objects.filter(code_hash=code_hash)
    # The UPDATE settles a race: it waits for the other request, then finds the code used.
    if not code.filter(used=None).update(used=timezone.now()):
        if code.exists():
            return None
        raise _wrong_setup_code()
    if not queries.first_run():
        raise _wrong_setup_code()
    farm = Farm.objects.create(name=form.farm)
    person = Person(email=form.email, name=form.name, password=password)
    _enrol(person)
    Membership.objects.create(farm=farm, person=person, role="owner")
    code.update(farm=farm)
    note("farm_made", farm_id=farm.id, by=person, about=farm.id)
    return person, farm


def _enrol(person: Person) -> None:
    """Somebody may have taken the e-mail address just now, so it is asked of the database itself."""
    try:
        person.save(force_insert=True)
    except IntegrityError:
        raise _email_taken() from None


def join(form: JoinForm, *, address: str) -> Entry:
    """A new member by invitation: somebody new, or somebody with an account here who types its password."""
    this_try = throttle.knock(door="join", account=form.code, address=address)
    invitation = Invitation.objects.filter(code_hash=digest(form.code)).select_related("farm").first()
    if invitation is None:
        raise _wrong_invitation()
    if invitation.used:
        return _again(form, invitation.farm, _wrong_invitation(), address)
    if invitation.expires <= timezone.now():
        raise _wrong_invitation()  # before any e-mail address is looked up: a dead code must not tell who is here
    person = Person.objects.filter(email=form.email).first()
    new = person is None
    if person is None:
        refuse_weak(form.password, email=form.email, name=form.name)
        person = Person(email=form.email, name=form.name, password=make_password(form.password))
    else:
        prove(email=form.email, password=form.password, address=address, device=form.device)
    with transaction.atomic():
        _accept(invitation, person, new=new)
    this_try.delete()
    return person, invitation.farm


def _accept(invitation: Invitation, person: Person, *, new: bool) -> None:
    now = timezone.now()
    if new:
        _enrol(person)
    won = Invitation.objects.filter(id=invitation.id, used=None, expires__gt=now).update(
        used=now, used_by=person
    )
    if not won:
        raise _wrong_invitation()
    _, joined = Membership.objects.get_or_create(
        farm=invitation.farm, person=person, defaults={"role": invitation.role}
    )
    if not joined:
        raise Refused(
            409, "already_member", f"You belong to {invitation.farm.name} already. Sign in instead."
        )
    note("joined", farm_id=invitation.farm_id, by=person, about=person.id, role=invitation.role)


def look_round(form: DemoForm, *, address: str) -> Entry:
    """A demo farm of this device's own, so that nobody sees another's tries. 404 when the demo is closed."""
    if not queries.demo_open():
        raise absent()
    phone = (
        Phone.objects.filter(device=form.device, farm__is_demo=True).select_related("person", "farm").first()
    )
    # This try is left standing: every farm costs a second of work, and every sign-in a session.
    throttle.knock(door="demo", account=address, address=address, device=form.device, known=phone is not None)
    if phone is not None:
        return phone.person, phone.farm
    open_demo = import_string(settings.DEMO_MAKER)
    with transaction.atomic():
        person = Person.objects.create(name="Visitor", password=make_password(None))
        farm: Farm = open_demo(person)
        Membership.objects.create(farm=farm, person=person, role="owner")
        note("demo_opened", farm_id=farm.id, by=person, about=form.device)
    _clear_demo_farms(keep=MOST_DEMO_FARMS)
    return person, farm


@transaction.atomic
def _clear_demo_farms(*, keep: int) -> None:
    """The oldest go first, with visitors who are then nowhere.

    In a transaction of its own, after the farm that takes their place: it may wait for a visitor who is sending.
    """
    old = Farm.objects.filter(is_demo=True).order_by("-made", "id").values_list("id", flat=True)[keep:]
    # Locked first, as a push does: what is deleted with a farm is found only when nobody can add to it any more.
    farms = Farm.objects.select_for_update().filter(id__in=list(old)).order_by("id")
    Farm.objects.filter(id__in=[farm.id for farm in farms]).delete()
    Person.objects.filter(email=None, memberships=None).delete()


def _again(form: JoinForm, farm: Farm | None, refusal: Refused, address: str) -> Entry:
    """A used code sent again, because its answer was lost: the one who used it, by password, is let in."""
    try:
        person = prove(email=form.email, password=form.password, address=address, device=form.device)
    except Refused as refused:
        raise refused if refused.status == 429 else refusal from None
    if farm is None or not Membership.objects.filter(farm=farm, person=person).exists():
        raise refusal
    return person, farm


def _wrong_setup_code() -> Refused:
    return Refused(403, "wrong_code", "That is not the set-up code. It stands where the server was started.")


def _wrong_invitation() -> Refused:
    return Refused(403, "wrong_code", "This invitation is used, expired or mistyped. Ask for a new one.")


def _email_taken() -> Refused:
    return invalid("email", "has an account here already. Sign in, or use another address.")
