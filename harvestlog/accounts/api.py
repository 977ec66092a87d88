"""/api/session, /api/setup, /api/demo, /api/join and /api/farm."""

from uuid import UUID

from django.http import HttpRequest
from django.middleware.csrf import get_token
from ninja import Router, Status

from harvestlog.accounts import actions, answers, doors, forms, queries
from harvestlog.accounts.access import MemberRequest, member_of, owner_only, signed_in, sure, sure_owner
from harvestlog.accounts.answers import REFUSALS
from harvestlog.accounts.codes_api import door_picture
from harvestlog.accounts.codes_api import router as codes
from harvestlog.accounts.refusals import signed_out
from harvestlog.accounts.sitting import get_up, sit_down
from harvestlog.accounts.throttle import address_of

router = Router(tags=["accounts"])
router.add_router("", codes)


@router.get("/session", auth=None, response={200: answers.Session | answers.SignedOutSession, **REFUSALS})
def show_session(request: HttpRequest) -> answers.Session | answers.SignedOutSession:
    """Who is signed in here. Also hands out the CSRF cookie that every change must echo."""
    get_token(request)
    member = member_of(request)
    return queries.session(member) if member else queries.signed_out()


@router.post(
    "/session",
    auth=None,
    response={200: answers.Session, 409: answers.ChooseFarm, **REFUSALS},
)
def sign_in(request: HttpRequest, form: forms.SignInForm) -> answers.Session:
    return _seated(request, doors.sign_in(form, address=address_of(request)), form)


@router.delete("/session", auth=None, response={204: None, **REFUSALS})
def sign_out(request: HttpRequest) -> Status[None]:
    """Signing out twice is fine."""
    get_up(request, member_of(request))
    return Status(204, None)


@router.post("/setup", auth=None, response={200: answers.Session, **REFUSALS})
def set_up(request: HttpRequest, form: forms.SetupForm) -> answers.Session:
    """The first farm, for whoever has the code from the console."""
    return _seated(request, doors.set_up(form, address=address_of(request)), form)


@router.post(
    "/demo",
    auth=None,
    response={200: answers.Session, **REFUSALS},
)
def look_round(request: HttpRequest, form: forms.DemoForm) -> answers.Session:
    """A demo farm of this device's own."""
    return _seated(request, doors.look_round(form, address=address_of(request)), form)


@router.post(
    "/join",
    auth=None,
    response={200: answers.Session, 409: answers.Problem, **REFUSALS},
)
def join(request: HttpRequest, form: forms.JoinForm) -> answers.Session:
    """A farm one was invited to."""
    return _seated(request, doors.join(form, address=address_of(request)), form)


def _seated(request: HttpRequest, entry: doors.Entry, form: forms.DemoForm) -> answers.Session:
    person, farm = entry
    sit_down(request, person=person, farm=farm, device=form.device, name=form.device_name)
    member = member_of(request)
    if member is None:  # removed from the farm in this very moment
        raise signed_out()
    return queries.session(member)


@router.get("/farm", auth=signed_in, response={200: answers.FarmPage, **REFUSALS})
def show_farm(request: MemberRequest) -> answers.FarmPage:
    """Owners see everybody's e-mail addresses and phones and the open invitations; others their own."""
    return queries.farm_page(request.auth)


@router.patch("/farm", auth=owner_only, response={200: answers.FarmPage, **REFUSALS})
def change_farm(request: MemberRequest, form: forms.FarmForm) -> answers.FarmPage:
    actions.change_farm(by=request.auth, name=form.name, currency=form.currency)
    return queries.farm_page(request.auth)


@router.post("/farm/invitations", auth=sure_owner, response={200: answers.NewCode, **REFUSALS})
def invite(request: MemberRequest, form: forms.RoleForm) -> answers.NewCode:
    """The code is shown this once."""
    invitation, code = actions.invite(by=request.auth, role=form.role)
    picture = door_picture(request, "join", code)
    return answers.NewCode(id=invitation.id, code=code, expires=invitation.expires, picture=picture)


@router.delete("/farm/invitations/{uuid:invitation}", auth=owner_only, response={204: None, **REFUSALS})
def withdraw_invitation(request: MemberRequest, invitation: UUID) -> Status[None]:
    actions.withdraw_invitation(by=request.auth, invitation_id=invitation)
    return Status(204, None)


@router.patch(
    "/farm/people/{uuid:person}",
    auth=sure_owner,
    response={200: answers.FarmPage, 409: answers.Problem, **REFUSALS},
)
def change_role(request: MemberRequest, person: UUID, form: forms.RoleForm) -> answers.FarmPage:
    actions.change_role(by=request.auth, person_id=person, role=form.role)
    # Whoever hands on their own ownership sees the page as what they are now.
    return queries.farm_page(member_of(request) or request.auth)


@router.delete(
    "/farm/people/{uuid:person}",
    auth=sure_owner,
    response={204: None, 409: answers.Problem, **REFUSALS},
)
def remove_person(request: MemberRequest, person: UUID) -> Status[None]:
    actions.remove_person(by=request.auth, person_id=person)
    return Status(204, None)


@router.delete("/farm/phones/{uuid:device}", auth=sure, response={204: None, **REFUSALS})
def revoke_phone(request: MemberRequest, device: UUID) -> Status[None]:
    """Signed out at once. Owners may do it to any phone of the farm, others to their own."""
    actions.revoke_phone(by=request.auth, device=device)
    return Status(204, None)
