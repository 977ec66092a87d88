"""Passwords and pairing: /api/session/confirm, /api/session/password, /api/password, /api/pair and their codes."""

from uuid import UUID

from django.http import HttpRequest
from ninja import Router, Status

from harvestlog.accounts import answers, forms, pairing, passwords, queries
from harvestlog.accounts.access import MemberRequest, member_of, signed_in, sure, sure_owner
from harvestlog.accounts.answers import REFUSALS
from harvestlog.accounts.codes import picture_of
from harvestlog.accounts.refusals import signed_out
from harvestlog.accounts.sitting import renew, sit_down
from harvestlog.accounts.throttle import address_of

router = Router(tags=["accounts"])


def door_picture(request: HttpRequest, way: str, code: str) -> str:
    """The app's address that opens the door with this code, as a QR code. `way`: "join", "pair" or "password"."""
    return picture_of(f"{request.scheme}://{request.get_host()}/#/{way}/{code}")


@router.post("/session/confirm", auth=signed_in, response={204: None, **REFUSALS})
def confirm(request: MemberRequest, form: forms.PasswordForm) -> Status[None]:
    """The password once more, before acts that answer 403 "confirm"."""
    passwords.confirm(by=request.auth, password=form.password, address=address_of(request))
    renew(request, request.auth)
    return Status(204, None)


@router.post("/session/password", auth=signed_in, response={204: None, **REFUSALS})
def change_password(request: MemberRequest, form: forms.ChangePasswordForm) -> Status[None]:
    """One's own. All one's other phones are signed out."""
    passwords.change_password(
        by=request.auth, password=form.password, new=form.new, address=address_of(request)
    )
    renew(request, request.auth)
    return Status(204, None)


@router.post("/password", auth=None, response={200: answers.PasswordSet, **REFUSALS})
def choose_password(request: HttpRequest, form: forms.NewPasswordForm) -> answers.PasswordSet:
    """A new password for whoever has the code for it."""
    person = passwords.choose_password(form, address=address_of(request))
    return answers.PasswordSet(email=person.email or "")


@router.post(
    "/farm/people/{uuid:person}/password-code",
    auth=sure_owner,
    response={200: answers.NewCode, 409: answers.Problem, **REFUSALS},
)
def make_password_code(request: MemberRequest, person: UUID) -> answers.NewCode:
    """For a member who forgot theirs. The code is shown this once."""
    made, code = passwords.make_password_code(by=request.auth, person_id=person)
    picture = door_picture(request, "password", code)
    return answers.NewCode(id=made.id, code=code, expires=made.expires, picture=picture)


@router.post("/farm/pairings", auth=sure, response={200: answers.NewCode, 409: answers.Problem, **REFUSALS})
def make_pairing(request: MemberRequest) -> answers.NewCode:
    """A code that signs another phone of one's own in. It is shown this once."""
    made, code = pairing.make_pairing(by=request.auth)
    picture = door_picture(request, "pair", code)
    return answers.NewCode(id=made.id, code=code, expires=made.expires, picture=picture)


@router.delete("/farm/pairings/{uuid:pairing_id}", auth=signed_in, response={204: None, **REFUSALS})
def withdraw_pairing(request: MemberRequest, pairing_id: UUID) -> Status[None]:
    pairing.withdraw_pairing(by=request.auth, pairing_id=pairing_id)
    return Status(204, None)


@router.post("/pair", auth=None, response={200: answers.Session, **REFUSALS})
def pair(request: HttpRequest, form: forms.PairForm) -> answers.Session:
    """Signs this phone in as whoever showed the code."""
    person, farm = pairing.pair(form, address=address_of(request))
    sit_down(request, person=person, farm=farm, device=form.device, name=form.device_name, typed=False)
    member = member_of(request)
    if member is None:  # removed from the farm in this very moment
        raise signed_out()
    return queries.session(member)
