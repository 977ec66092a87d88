"""Signing in and out, and how long a session lasts."""

from collections.abc import Callable
from datetime import timedelta
from uuid import uuid4

import pytest
from django.contrib.auth.hashers import Argon2PasswordHasher, make_password
from django.contrib.sessions.models import Session

from harvestlog.accounts.models import Membership, Phone
from tests.cast import ARGON2, PASSWORD, Browser, Cast, Clock


def test_somebody_unknown_is_signed_out(visitor: Browser, cast: Cast) -> None:
    assert visitor.get("/api/session").json() == {
        "signed_in": False, "first_run": False, "demo": False, "version": "0.1.0",
    }  # fmt: skip


def test_reading_the_session_hands_out_a_csrf_cookie(visitor: Browser) -> None:
    assert "csrftoken" in visitor.get("/api/session").cookies


def test_e_mail_and_password_sign_a_phone_in(visitor: Browser, cast: Cast) -> None:
    answer = visitor.post("/api/session", cast.owner.sign_in)
    said = answer.json()
    assert answer.status_code == 200
    assert said.pop("server_time").endswith("Z")
    assert said == {
        "signed_in": True,
        "first_run": False,
        "demo": False,
        "version": "0.1.0",
        "person": {"id": str(cast.owner.person.id), "name": "Olga", "email": "olga@example.org"},
        "farm": {
            "id": str(cast.farm.id), "name": "Alder Yard", "role": "owner", "currency": "EUR", "is_demo": False,
        },
        "epoch": str(cast.farm.epoch),
    }  # fmt: skip


def test_the_answer_to_signing_in_is_what_the_session_says_afterwards(
    visitor: Browser, cast: Cast, clock: Clock
):
    first = visitor.post("/api/session", cast.owner.sign_in).json()
    assert visitor.get("/api/session").json() == first


def test_the_casts_short_cut_gives_the_session_that_a_password_gives(
    visitor: Browser, cast: Cast, clock: Clock
):
    by_password = visitor.post("/api/session", cast.owner.sign_in | {"device": str(uuid4())}).json()
    assert cast.owner.phone.get("/api/session").json() == by_password


def test_the_e_mail_address_may_be_typed_in_any_case(visitor: Browser, cast: Cast) -> None:
    body = cast.owner.sign_in | {"email": "  OLGA@Example.ORG "}
    assert visitor.post("/api/session", body).status_code == 200


def test_a_password_may_arrive_in_pieces_that_another_keyboard_composes(visitor: Browser, cast: Cast) -> None:
    cast.owner.person.password = make_password("caf\u00e9-de-paris")
    cast.owner.person.save()
    body = cast.owner.sign_in | {"password": "cafe\u0301-de-paris"}
    assert visitor.post("/api/session", body).status_code == 200


def test_a_wrong_password_is_refused(visitor: Browser, cast: Cast) -> None:
    answer = visitor.post("/api/session", cast.owner.sign_in | {"password": "not this one"})
    assert (answer.status_code, answer.json()["code"]) == (401, "wrong_sign_in")


@pytest.mark.parametrize("how", ["unknown", "switched off", "no password"])
def test_nobody_learns_which_e_mail_addresses_have_an_account(how: str, visitor: Browser, cast: Cast) -> None:
    known = visitor.post("/api/session", cast.owner.sign_in | {"password": "not this one"})
    body = cast.owner.sign_in
    if how == "unknown":
        body["email"] = "nobody@example.org"
    elif how == "switched off":
        cast.owner.person.is_active = False
    else:
        cast.owner.person.set_unusable_password()
    cast.owner.person.save()
    other = visitor.post("/api/session", body)
    assert (other.status_code, other.content) == (known.status_code, known.content)


def test_an_unknown_e_mail_address_costs_one_password_hash_like_a_known_one(
    visitor: Browser, cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    work: list[str] = []

    def watched(name: str) -> Callable[..., object]:
        real = getattr(Argon2PasswordHasher, name)

        def does(*args: object, **kwargs: object) -> object:
            work.append(name)
            return real(*args, **kwargs)

        return does

    for name in ("encode", "verify"):
        monkeypatch.setattr(Argon2PasswordHasher, name, watched(name))
    costs = []
    for email in ("olga@example.org", "nobody@example.org"):
        work.clear()
        visitor.post("/api/session", cast.owner.sign_in | {"email": email, "password": "not this one"})
        costs.append(len(work))
    assert costs == [1, 1]


def test_passwords_are_kept_by_argon2_at_no_less_than_owasp_asks(cast: Cast) -> None:
    """OWASP Password Storage Cheat Sheet: Argon2id, 19 MiB, 2 passes, 1 lane."""
    assert cast.owner.person.password.startswith("argon2$argon2id$")
    assert ARGON2["memory_cost"] >= 19 * 1024  # in KiB
    assert ARGON2["time_cost"] >= 2


def test_somebody_in_two_farms_is_asked_which(visitor: Browser, cast: Cast) -> None:
    Membership.objects.create(farm=cast.stranger.farm, person=cast.owner.person, role="viewer")
    answer = visitor.post("/api/session", cast.owner.sign_in)
    assert answer.status_code == 409
    assert answer.json()["code"] == "choose_farm"
    assert answer.json()["farms"] == [
        {"id": str(cast.farm.id), "name": "Alder Yard"},
        {"id": str(cast.stranger.farm.id), "name": "Birch Cellar"},
    ]


def test_the_chosen_farm_is_the_one_signed_in_to(visitor: Browser, cast: Cast) -> None:
    Membership.objects.create(farm=cast.stranger.farm, person=cast.owner.person, role="viewer")
    answer = visitor.post("/api/session", cast.owner.sign_in | {"farm": str(cast.stranger.farm.id)})
    assert (answer.json()["farm"]["name"], answer.json()["farm"]["role"]) == ("Birch Cellar", "viewer")


def test_another_farm_cannot_be_chosen(visitor: Browser, cast: Cast) -> None:
    answer = visitor.post("/api/session", cast.owner.sign_in | {"farm": str(cast.stranger.farm.id)})
    assert (answer.status_code, answer.json()["code"]) == (404, "absent")


def test_signing_in_changes_the_session_key(visitor: Browser, cast: Cast) -> None:
    visitor.post("/api/session", cast.owner.sign_in)
    before = visitor.client.cookies["sessionid"].value
    visitor.post("/api/session", cast.owner.sign_in)
    assert visitor.client.cookies["sessionid"].value != before
    assert not Session.objects.filter(session_key=before).exists()


def test_signing_in_changes_the_csrf_token(visitor: Browser, cast: Cast) -> None:
    before = visitor.token()
    visitor.post("/api/session", cast.owner.sign_in)
    assert visitor.token() != before


def test_the_session_cookie_is_out_of_reach_of_scripts_and_other_sites(visitor: Browser, cast: Cast) -> None:
    cookie = visitor.post("/api/session", cast.owner.sign_in).cookies["sessionid"]
    assert (cookie["httponly"], cookie["samesite"], cookie["max-age"]) == (True, "Strict", 45 * 24 * 3600)


def test_no_session_key_stands_in_the_phones_table(visitor: Browser, cast: Cast) -> None:
    visitor.post("/api/session", cast.owner.sign_in)
    phone = Phone.objects.get(device=cast.owner.device)
    assert visitor.client.cookies["sessionid"].value not in str(vars(phone))


def test_signing_in_again_on_the_same_phone_makes_no_second_phone(visitor: Browser, cast: Cast) -> None:
    for _ in range(3):
        visitor.post("/api/session", cast.owner.sign_in)
    assert Phone.objects.filter(person=cast.owner.person).count() == 1


def test_a_phone_has_one_session_and_the_latest_wins(cast: Cast) -> None:
    first, second = Browser(), Browser()
    first.post("/api/session", cast.owner.sign_in)
    second.post("/api/session", cast.owner.sign_in)
    assert [browser.get("/api/farm").status_code for browser in (first, second)] == [401, 200]


def test_another_person_on_the_same_browser_ends_the_first_ones_session(visitor: Browser, cast: Cast) -> None:
    visitor.post("/api/session", cast.owner.sign_in)
    visitor.post("/api/session", cast.picker.sign_in)
    assert visitor.get("/api/session").json()["person"]["name"] == "Pia"
    assert Phone.objects.get(person=cast.owner.person).session_hash == ""


def test_signing_out_ends_the_session(cast: Cast) -> None:
    assert cast.owner.phone.delete("/api/session").status_code == 204
    assert cast.owner.phone.get("/api/session").json()["signed_in"] is False


def test_a_copied_cookie_is_worth_nothing_after_signing_out(cast: Cast) -> None:
    copy = Browser()
    copy.client.cookies["sessionid"] = cast.owner.phone.client.cookies["sessionid"].value
    assert copy.get("/api/farm").status_code == 200
    cast.owner.phone.delete("/api/session")
    assert copy.get("/api/farm").status_code == 401


def test_signing_out_twice_is_fine(visitor: Browser) -> None:
    assert [visitor.delete("/api/session").status_code for _ in range(2)] == [204, 204]


def test_signing_out_on_one_phone_leaves_the_other_signed_in(cast: Cast) -> None:
    cast.pickers_second.phone.get("/api/session")
    cast.picker.phone.delete("/api/session")
    assert cast.pickers_second.phone.get("/api/session").json()["signed_in"] is True


def test_a_phone_used_every_month_stays_signed_in(cast: Cast, clock: Clock) -> None:
    for _ in range(5):
        cast.owner.phone.get("/api/farm")
        clock.forward(timedelta(days=30))
    answer = cast.owner.phone.get("/api/farm")
    assert answer.status_code == 200
    assert answer.cookies["sessionid"]["max-age"] == 45 * 24 * 3600


@pytest.mark.parametrize(("days", "status"), [(44.9, 200), (45.1, 401)])
def test_a_phone_left_idle_for_45_days_signs_in_again(
    days: float, status: int, cast: Cast, clock: Clock
) -> None:
    cast.owner.phone.get("/api/session")
    clock.forward(timedelta(days=days))
    assert cast.owner.phone.get("/api/farm").status_code == status


@pytest.mark.parametrize(("days", "status"), [(179, 200), (181, 401)])
def test_every_phone_signs_in_again_after_180_days(days: int, status: int, cast: Cast, clock: Clock) -> None:
    cast.owner.phone.get("/api/session")
    for _ in range(days):
        clock.forward(timedelta(days=1))
        cast.owner.phone.get("/api/session")
    assert cast.owner.phone.get("/api/farm").status_code == status


def test_being_seen_is_written_down_once_an_hour_and_not_at_every_read(
    cast: Cast, clock: Clock, django_assert_num_queries
) -> None:
    cast.owner.phone.get("/api/session")
    clock.forward(timedelta(minutes=59))
    with django_assert_num_queries(4):  # session, phone, any farm yet, this farm
        cast.owner.phone.get("/api/session")
    clock.forward(timedelta(minutes=2))
    cast.owner.phone.get("/api/session")
    assert Phone.objects.get(device=cast.owner.device).last_seen == clock.moment


def test_a_person_removed_from_the_last_farm_is_told_so(visitor: Browser, cast: Cast) -> None:
    Membership.objects.filter(person=cast.picker.person).delete()
    answer = visitor.post("/api/session", cast.picker.sign_in)
    assert (answer.status_code, answer.json()["code"]) == (403, "no_farm")
    assert PASSWORD not in answer.content.decode()
