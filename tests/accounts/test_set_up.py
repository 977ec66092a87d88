"""The first farm: one code from the console, one farm."""

import re
from threading import Barrier, Thread
from uuid import uuid4

import pytest
from django.db import connection

from harvestlog.accounts.actions import console_setup_code
from harvestlog.accounts.codes import SYMBOLS, fresh_setup_code
from harvestlog.accounts.models import Farm, Person, SetupCode
from tests.cast import PASSWORD, Browser, Cast, Json


def form(code: str | None, **other: str) -> Json:
    return {
        "code": code,
        "farm": "Alder Yard",
        "name": "Olga",
        "email": "Olga@Example.org",
        "password": PASSWORD,
        "device": str(uuid4()),
        "device_name": "Shed phone",
    } | other


def test_with_no_farm_the_session_asks_for_the_set_up_code(visitor: Browser) -> None:
    assert visitor.get("/api/session").json()["first_run"] is True


def test_the_code_from_the_console_makes_the_farm_and_signs_its_owner_in(visitor: Browser) -> None:
    said = visitor.post("/api/setup", form(console_setup_code())).json()
    assert said["signed_in"] is True
    assert (said["farm"]["name"], said["farm"]["role"]) == ("Alder Yard", "owner")
    assert said["person"]["email"] == "olga@example.org"
    assert said["first_run"] is False


def test_the_code_is_twelve_symbols_that_cannot_be_misread(db: None) -> None:
    code = console_setup_code() or ""
    assert re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{4}(-[0-9A-HJKMNP-TV-Z]{4}){2}", code)
    assert not set("ILOU") & set(SYMBOLS)


def test_codes_differ() -> None:
    assert len({fresh_setup_code() for _ in range(1000)}) == 1000


@pytest.mark.parametrize("how", ["lower case", "no dashes", "spaces", "O for 0 and l for 1"])
def test_the_code_may_be_typed_loosely(how: str, visitor: Browser, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("harvestlog.accounts.actions.fresh_setup_code", lambda: "A10B-C1D0-7XYZ")
    code = console_setup_code() or ""
    typed = {
        "lower case": code.lower(),
        "no dashes": code.replace("-", ""),
        "spaces": f" {code.replace('-', ' ')} ",
        "O for 0 and l for 1": "AlOB-cID0-7xyz",
    }[how]
    assert visitor.post("/api/setup", form(typed)).status_code == 200


def test_a_wrong_code_makes_nothing(visitor: Browser) -> None:
    console_setup_code()
    answer = visitor.post("/api/setup", form("AAAA-AAAA-AAAA"))
    assert (answer.status_code, answer.json()["code"]) == (403, "wrong_code")
    assert not Farm.objects.exists()
    assert not Person.objects.exists()


def test_a_new_code_replaces_the_former(visitor: Browser) -> None:
    former = console_setup_code()
    console_setup_code()
    assert visitor.post("/api/setup", form(former)).status_code == 403


def test_the_code_is_kept_only_as_a_hash(db: None) -> None:
    code = console_setup_code() or ""
    stored = str(vars(SetupCode.objects.get()))
    assert code not in stored
    assert code.replace("-", "") not in stored


def test_with_a_farm_there_is_no_code(cast: Cast) -> None:
    assert console_setup_code() is None


def test_a_code_left_over_from_before_makes_no_second_farm(visitor: Browser) -> None:
    code = console_setup_code()
    Farm.objects.create(name="Made meanwhile")
    assert visitor.post("/api/setup", form(code)).status_code == 403
    assert Farm.objects.count() == 1


def test_a_demo_farm_does_not_count_as_a_first_farm(visitor: Browser) -> None:
    Farm.objects.create(name="Demo", is_demo=True)
    assert visitor.get("/api/session").json()["first_run"] is True
    assert console_setup_code() is not None


def test_a_used_code_makes_no_second_farm(visitor: Browser) -> None:
    code = console_setup_code()
    visitor.post("/api/setup", form(code))
    answer = Browser().post("/api/setup", form(code, farm="Another", email="eve@example.org"))
    assert (answer.status_code, answer.json()["code"]) == (403, "wrong_code")
    assert Farm.objects.count() == 1


def test_a_set_up_sent_again_because_its_answer_was_lost_gets_the_same_farm(visitor: Browser) -> None:
    body = form(console_setup_code())
    first = visitor.post("/api/setup", body).json()
    again = Browser().post("/api/setup", body).json()
    assert again["farm"] == first["farm"]
    assert again["person"] == first["person"]
    assert Farm.objects.count() == 1


def test_a_set_up_sent_again_with_another_password_is_refused(visitor: Browser) -> None:
    body = form(console_setup_code())
    visitor.post("/api/setup", body)
    assert Browser().post("/api/setup", body | {"password": "seven-other-ladders"}).status_code == 403


@pytest.mark.parametrize(
    ("password", "words"),
    [
        ("short", "too short"),
        ("qwertyuiop", "too common"),
        ("password123", "everybody guesses"),
        ("olga@example.org", "too similar"),
    ],
)
def test_a_password_that_is_easily_guessed_is_refused_and_the_code_is_still_good(
    password: str, words: str, visitor: Browser
) -> None:
    code = console_setup_code()
    answer = visitor.post("/api/setup", form(code, password=password))
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["field"] == "password"
    assert words in answer.json()["errors"][0]["reason"]
    assert visitor.post("/api/setup", form(code)).status_code == 200


def test_codes_cannot_be_guessed_for_ever(visitor: Browser) -> None:
    console_setup_code()
    statuses = [visitor.post("/api/setup", form(fresh_setup_code())).status_code for _ in range(31)]
    assert statuses == [403] * 30 + [429]


def test_guessing_from_one_address_does_not_lock_the_owner_out(visitor: Browser) -> None:
    code = console_setup_code()
    for _ in range(31):
        Browser("198.51.100.9").post("/api/setup", form("AAAA-AAAA-AAAA"))
    assert visitor.post("/api/setup", form(code)).status_code == 200


@pytest.mark.django_db(transaction=True)
def test_two_who_race_with_one_code_make_one_farm() -> None:
    code, together, statuses = console_setup_code(), Barrier(6, timeout=30), []

    def one(number: int) -> None:
        browser = Browser()
        browser.token()
        together.wait()
        body = form(code, farm=f"Farm {number}", email=f"p{number}@example.org")
        statuses.append(browser.post("/api/setup", body).status_code)
        connection.close()

    threads = [Thread(target=one, args=(number,)) for number in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(statuses) == [200] + [403] * 5
    assert Farm.objects.count() == Person.objects.count() == 1
