"""Acts that give others a way in, or the records away, want the password within the last ten minutes."""

from datetime import timedelta
from uuid import uuid4

import pytest

from harvestlog.accounts.access import SURE_FOR
from harvestlog.accounts.models import Person, Phone
from harvestlog.accounts.throttle import LIMITS
from tests.cast import PASSWORD, Actor, Browser, Cast, Clock
from tests.reports.reported import made, season

# What is asked for, and what it answers once the password was typed.
ACTS: dict[str, tuple[str, object, int]] = {
    "inviting": ("POST /api/farm/invitations", {"role": "viewer"}, 200),
    "a new role": ("PATCH /api/farm/people/{picker}", {"role": "viewer"}, 200),
    "removing a person": ("DELETE /api/farm/people/{picker}", None, 204),
    "signing a phone out": ("DELETE /api/farm/phones/{device}", None, 204),
    "a code for a new password": ("POST /api/farm/people/{picker}/password-code", None, 200),
    "a code for another phone": ("POST /api/farm/pairings", None, 200),
    "a link to a report": ("POST /api/reports/supplier-reports/{report}/shares", {}, 201),
    "all records as tables": ("GET /api/reports/records.zip", None, 200),
    "all records as JSON": ("GET /api/reports/records.json", None, 200),
    "a copy of the server": ("POST /api/farm/copies", None, 409),  # which these tests have switched off
}
every_act = pytest.mark.parametrize("act", ACTS)


def ask(cast: Cast, act: str) -> tuple[int, str]:
    said, body, _ = ACTS[act]
    report = made(cast.owner, season(cast.owner))["id"] if "{report}" in said else ""
    aim = {"picker": cast.picker.person.id, "device": cast.picker.device, "report": report}
    method, path = said.format(**aim).split(" ")
    answer = cast.owner.phone.send(method, path, body)
    return answer.status_code, answer.json()["code"] if answer.status_code >= 400 else ""


@pytest.fixture
def later(cast: Cast, clock: Clock) -> Cast:
    """Ten minutes after everybody typed their password."""
    for actor in (cast.owner, cast.picker):
        actor.phone.token()
    clock.forward(SURE_FOR)
    return cast


@every_act
def test_just_after_signing_in_nothing_is_asked(act: str, cast: Cast) -> None:
    cast.picker.phone.token()
    assert ask(cast, act)[0] == ACTS[act][2]


@every_act
def test_ten_minutes_later_the_password_is_wanted_and_nothing_is_done(act: str, later: Cast) -> None:
    assert ask(later, act) == (403, "confirm")


@every_act
def test_with_the_password_typed_again_it_is_done(act: str, later: Cast) -> None:
    assert later.owner.phone.post("/api/session/confirm", {"password": PASSWORD}).status_code == 204
    assert ask(later, act)[0] == ACTS[act][2]


def test_a_wrong_password_is_refused_and_the_phone_stays_signed_in(later: Cast) -> None:
    answer = later.owner.phone.post("/api/session/confirm", {"password": "not this one"})
    assert (answer.status_code, answer.json()["code"]) == (403, "wrong_password")
    assert ask(later, "inviting") == (403, "confirm")
    assert later.owner.phone.get("/api/farm").status_code == 200


def test_guessing_the_password_on_a_signed_in_phone_is_throttled(later: Cast) -> None:
    guesses = [
        later.owner.phone.post("/api/session/confirm", {"password": "guess"}).status_code
        for _ in range(LIMITS.phone + 2)
    ]
    assert guesses == [403] * LIMITS.phone + [429] * 2
    assert later.owner.phone.post("/api/session/confirm", {"password": PASSWORD}).status_code == 429


def test_somebody_elses_password_does_not_do(later: Cast) -> None:
    Person.objects.get(id=later.owner.person.id).set_password("another-ladder-and-a-lamp")
    later.picker.person.set_password("the-pickers-own-lantern")
    later.picker.person.save()
    answer = later.owner.phone.post("/api/session/confirm", {"password": "the-pickers-own-lantern"})
    assert answer.status_code == 403


class TestTheSessionKeyIsANewOne:
    @pytest.fixture
    def former(self, later: Cast) -> Browser:
        """The owner's phone, which did not hear the answer that had the new key."""
        phone = Browser()
        phone.client.cookies["sessionid"] = later.owner.phone.client.cookies["sessionid"].value
        later.owner.phone.post("/api/session/confirm", {"password": PASSWORD})
        return phone

    def test_and_the_former_is_worth_nothing_once_it_was_used(self, later: Cast, former: Browser) -> None:
        assert later.owner.phone.get("/api/farm").status_code == 200
        assert former.get("/api/farm").status_code == 401

    def test_a_phone_that_did_not_hear_of_it_stays_signed_in(self, former: Browser) -> None:
        assert [former.get("/api/farm").status_code for _ in range(2)] == [200, 200]

    def test_a_phone_that_did_not_hear_of_it_is_asked_for_the_password_again(self, former: Browser) -> None:
        assert former.post("/api/farm/invitations", {"role": "viewer"}).json()["code"] == "confirm"
        assert former.post("/api/session/confirm", {"password": PASSWORD}).status_code == 204
        assert former.post("/api/farm/invitations", {"role": "viewer"}).status_code == 200

    def test_the_former_ends_with_the_sign_in(self, later: Cast, former: Browser) -> None:
        Phone.objects.filter(person=later.owner.person).update(session_hash="")
        assert former.get("/api/farm").status_code == 401

    def test_signing_out_with_the_former_ends_both(self, later: Cast, former: Browser) -> None:
        former.send("DELETE", "/api/session", None)
        assert later.owner.phone.get("/api/farm").status_code == 401


def test_it_counts_for_this_phone_only(later: Cast) -> None:
    second = Actor(later.owner.person, later.farm, "owner", device=uuid4())
    second.phone.token()
    Phone.objects.filter(device=second.device).update(confirmed=None)
    later.owner.phone.post("/api/session/confirm", {"password": PASSWORD})
    assert second.phone.post("/api/farm/invitations", {"role": "viewer"}).json()["code"] == "confirm"


def test_a_role_that_may_not_is_told_so_and_not_asked_for_a_password(later: Cast) -> None:
    answer = later.picker.phone.post("/api/farm/invitations", {"role": "viewer"})
    assert answer.json()["code"] == "not_allowed"


def test_a_visitor_of_the_demo_farm_is_never_asked(visitor: Browser, clock: Clock, settings) -> None:
    settings.DEMO_MAKER = "tests.accounts.test_demo.bare_demo"
    visitor.post("/api/demo", {"device": str(uuid4()), "device_name": "Tablet"})
    clock.forward(timedelta(days=1))
    assert visitor.get("/api/reports/records.json").status_code == 200
    answer = visitor.post("/api/session/confirm", {"password": ""})
    assert answer.status_code == 422
    answer = visitor.post("/api/session/confirm", {"password": "anything"})
    assert (answer.status_code, answer.json()["code"]) == (403, "not_allowed")


def test_a_report_has_only_so_many_links(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("harvestlog.reports.shares.links.MOST_SHARES", 1)
    path = f"/api/reports/supplier-reports/{made(cast.owner, season(cast.owner))['id']}/shares"
    assert [cast.owner.phone.post(path, {}).status_code for _ in range(2)] == [201, 409]
