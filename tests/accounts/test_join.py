"""Invitations: made by an owner, good for one person and seven days."""

from datetime import timedelta
from threading import Barrier, Thread
from uuid import uuid4

import pytest
from django.db import connection

from harvestlog.accounts import doors
from harvestlog.accounts.codes import picture_of
from harvestlog.accounts.models import Invitation, Membership, Person
from tests.cast import PASSWORD, Browser, Cast, Clock, Json, password_hash


def invited(cast: Cast, role: str = "picker") -> str:
    return str(cast.owner.phone.post("/api/farm/invitations", {"role": role}).json()["code"])


def form(code: str, **other: str) -> Json:
    return {
        "code": code,
        "name": "Noor",
        "email": "noor@example.org",
        "password": PASSWORD,
        "device": str(uuid4()),
        "device_name": "",
    } | other


def test_an_invitation_carries_128_bits(cast: Cast) -> None:
    assert len(invited(cast)) == 22  # 22 × 6 bits hold 128


def test_the_address_of_an_invitation_is_drawn_as_a_qr_code(cast: Cast) -> None:
    made = cast.owner.phone.post("/api/farm/invitations", {"role": "picker"}).json()
    assert made["picture"] == picture_of(f"http://testserver/#/join/{made['code']}")


def test_an_invitation_is_kept_only_as_a_hash(cast: Cast) -> None:
    code = invited(cast)
    assert code not in str(vars(Invitation.objects.get()))


@pytest.mark.parametrize("role", ["owner", "picker", "viewer"])
def test_somebody_new_joins_in_the_role_of_the_invitation(role: str, cast: Cast, visitor: Browser) -> None:
    said = visitor.post("/api/join", form(invited(cast, role))).json()
    assert (said["farm"]["name"], said["farm"]["role"]) == ("Alder Yard", role)
    assert said["person"]["name"] == "Noor"


def test_an_invitation_is_used_up(cast: Cast, visitor: Browser) -> None:
    code = invited(cast)
    visitor.post("/api/join", form(code))
    answer = Browser().post("/api/join", form(code, email="eve@example.org"))
    assert (answer.status_code, answer.json()["code"]) == (403, "wrong_code")
    assert not Person.objects.filter(email="eve@example.org").exists()


@pytest.mark.parametrize(("days", "status"), [(6.9, 200), (7.1, 403)])
def test_an_invitation_lasts_seven_days(days: float, status: int, cast: Cast, visitor: Browser, clock: Clock):
    code = invited(cast)
    clock.forward(timedelta(days=days))
    assert visitor.post("/api/join", form(code)).status_code == status


def test_wrong_used_expired_and_withdrawn_codes_get_the_same_answer(cast: Cast, clock: Clock) -> None:
    expired = invited(cast)
    clock.forward(timedelta(days=8))
    used, withdrawn = invited(cast), invited(cast)
    Browser().post("/api/join", form(used, email="first@example.org"))
    for row in cast.owner.phone.get("/api/farm").json()["invitations"]:
        cast.owner.phone.delete(f"/api/farm/invitations/{row['id']}")
    answers = [Browser().post("/api/join", form(code)) for code in ("x" * 22, used, expired, withdrawn)]
    assert {(answer.status_code, answer.content) for answer in answers} == {(403, answers[0].content)}


def test_a_dead_code_tells_nothing_about_e_mail_addresses(cast: Cast, clock: Clock) -> None:
    code = invited(cast)
    clock.forward(timedelta(days=8))
    emails = ("stella@example.org", "nobody@example.org")
    answers = [Browser().post("/api/join", form(code, email=email, password="guess")) for email in emails]
    assert answers[0].content == answers[1].content


def test_a_join_sent_again_because_its_answer_was_lost_gets_in_again(cast: Cast, visitor: Browser) -> None:
    body = form(invited(cast))
    first = visitor.post("/api/join", body).json()
    again = Browser().post("/api/join", body).json()
    assert (again["person"], again["farm"]) == (first["person"], first["farm"])


def test_somebody_with_an_account_joins_with_its_password(cast: Cast, visitor: Browser) -> None:
    said = visitor.post("/api/join", form(invited(cast), email="STELLA@example.org", name="Other")).json()
    assert said["person"]["name"] == "Stella"
    assert said["farm"]["name"] == "Alder Yard"
    assert Membership.objects.filter(person=cast.stranger.person).count() == 2


def test_an_account_cannot_be_joined_without_its_password(cast: Cast, visitor: Browser) -> None:
    body = form(invited(cast), email="stella@example.org", password="not her password")
    answer = visitor.post("/api/join", body)
    assert (answer.status_code, answer.json()["code"]) == (401, "wrong_sign_in")
    assert visitor.post("/api/join", body | {"password": PASSWORD}).status_code == 200


def test_an_invitation_does_not_change_the_role_of_a_member(cast: Cast, visitor: Browser) -> None:
    code = invited(cast, "viewer")
    answer = visitor.post("/api/join", form(code, email="olga@example.org"))
    assert (answer.status_code, answer.json()["code"]) == (409, "already_member")
    assert Membership.objects.get(farm=cast.farm, person=cast.owner.person).role == "owner"
    assert visitor.post("/api/join", form(code)).status_code == 200


def test_an_easily_guessed_password_is_refused_and_the_invitation_is_still_good(cast: Cast, visitor: Browser):
    code = invited(cast)
    assert visitor.post("/api/join", form(code, password="12345678")).status_code == 422
    assert visitor.post("/api/join", form(code)).status_code == 200


def test_the_invitations_of_a_removed_owner_are_void(cast: Cast, visitor: Browser) -> None:
    Membership.objects.filter(person=cast.picker.person).update(role="owner")
    code = cast.picker.phone.post("/api/farm/invitations", {"role": "owner"}).json()["code"]
    cast.owner.phone.delete(f"/api/farm/people/{cast.picker.person.id}")
    assert visitor.post("/api/join", form(code)).status_code == 403


@pytest.mark.django_db(transaction=True)
def test_of_many_who_race_with_one_invitation_one_gets_in(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    code, together, statuses = invited(cast), Barrier(6, timeout=30), []

    def hash_together(password: str) -> str:
        """By now every racer has seen the invitation unused."""
        together.wait()
        return password_hash()

    def one(number: int) -> None:
        answer = Browser().post("/api/join", form(code, email=f"racer{number}@example.org"))
        statuses.append(answer.status_code)
        connection.close()

    monkeypatch.setattr(doors, "make_password", hash_together)
    threads = [Thread(target=one, args=(number,)) for number in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(statuses) == [200] + [403] * 5
    assert Person.objects.filter(email__startswith="racer").count() == 1
