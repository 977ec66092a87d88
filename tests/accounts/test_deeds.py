"""The audit: what was done to people and doors, in the transaction that did it."""

from uuid import uuid4

import pytest

from harvestlog.accounts.actions import console_setup_code
from harvestlog.accounts.models import Deed, Invitation, Membership, Phone
from tests.accounts.test_join import form as join_form
from tests.accounts.test_set_up import form as set_up_form
from tests.cast import PASSWORD, Browser, Cast


def verbs(cast: Cast) -> list[str]:
    return list(Deed.objects.filter(farm=cast.farm).order_by("id").values_list("verb", flat=True))


def test_everything_an_owner_does_with_people_is_written_down(cast: Cast) -> None:
    owner, pia = cast.owner.phone, cast.picker.person.id
    cast.picker.phone.get("/api/session")
    invitation = owner.post("/api/farm/invitations", {"role": "viewer"}).json()["id"]
    owner.delete(f"/api/farm/invitations/{invitation}")
    owner.patch("/api/farm", {"name": "New Yard"})
    owner.patch(f"/api/farm/people/{pia}", {"role": "viewer"})
    owner.delete(f"/api/farm/phones/{cast.picker.device}")
    owner.delete(f"/api/farm/people/{pia}")
    owner.delete("/api/session")
    assert verbs(cast) == [
        "signed_in", "signed_in", "invited", "invitation_withdrawn", "farm_changed", "role_changed",
        "phone_revoked", "person_removed", "signed_out",
    ]  # fmt: skip


def test_a_change_of_role_says_who_whom_and_what(cast: Cast) -> None:
    cast.owner.phone.patch(f"/api/farm/people/{cast.picker.person.id}", {"role": "viewer"})
    deed = Deed.objects.get(verb="role_changed")
    assert deed.by == cast.owner.person
    assert deed.about == str(cast.picker.person.id)
    assert deed.detail == {"former": "picker", "role": "viewer"}


def test_a_first_farm_and_a_new_member_are_written_down(visitor: Browser) -> None:
    visitor.post("/api/setup", set_up_form(console_setup_code()))
    code = visitor.post("/api/farm/invitations", {"role": "picker"}).json()["code"]
    Browser().post("/api/join", join_form(code))
    verbs = Deed.objects.order_by("id").values_list("verb", flat=True)
    assert list(verbs) == ["farm_made", "signed_in", "invited", "joined", "signed_in"]


def test_what_was_refused_is_not_written_down_as_done(cast: Cast) -> None:
    cast.owner.phone.delete(f"/api/farm/people/{cast.owner.person.id}")
    cast.owner.phone.delete(f"/api/farm/people/{uuid4()}")
    assert verbs(cast) == ["signed_in"]


def test_no_deed_holds_a_secret(cast: Cast) -> None:
    Browser().post("/api/session", cast.owner.sign_in)
    code = cast.owner.phone.post("/api/farm/invitations", {"role": "viewer"}).json()["code"]
    key = cast.owner.phone.client.cookies["sessionid"].value
    written = str([vars(deed) for deed in Deed.objects.all()])
    assert not any(secret in written for secret in (PASSWORD, code, key))


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("act", ["invite", "role", "remove", "revoke", "sign in"])
def test_without_its_deed_nothing_is_done(act: str, cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    owner, pia = cast.owner.phone, cast.picker.person.id
    cast.picker.phone.get("/api/session")
    owner.token()

    def full(**_: object) -> None:
        raise RuntimeError("disk full")

    monkeypatch.setattr(Deed.objects, "create", full)
    requests = {
        "invite": lambda: owner.post("/api/farm/invitations", {"role": "viewer"}),
        "role": lambda: owner.patch(f"/api/farm/people/{pia}", {"role": "viewer"}),
        "remove": lambda: owner.delete(f"/api/farm/people/{pia}"),
        "revoke": lambda: owner.delete(f"/api/farm/phones/{cast.picker.device}"),
        "sign in": lambda: Browser().post("/api/session", cast.viewer.sign_in),
    }
    with pytest.raises(RuntimeError, match="disk full"):
        requests[act]()
    assert not Invitation.objects.exists()
    assert Membership.objects.get(person=pia).role == "picker"
    assert not Phone.objects.filter(person=cast.viewer.person).exists()
    assert cast.picker.phone.get("/api/farm").status_code == 200
