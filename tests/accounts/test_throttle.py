"""How often somebody may guess, and who still gets in meanwhile."""

from datetime import timedelta
from threading import Barrier, Thread
from uuid import uuid4

import pytest
from django.db import connection
from django.test import RequestFactory, override_settings

from harvestlog.accounts.models import SignInTry
from harvestlog.accounts.throttle import LIMITS, address_of
from tests.cast import ELSEWHERE, Browser, Cast, Clock


def guess(browser: Browser, cast: Cast, times: int, **other: str) -> list[int]:
    """Wrong passwords for the owner from a device nobody knows; the statuses in order."""
    body = cast.owner.sign_in | {"password": "guess", "device": str(uuid4())} | other
    return [browser.post("/api/session", body).status_code for _ in range(times)]


def from_elsewhere(cast: Cast, times: int, **other: str) -> list[int]:
    """The same, each guess from an address of its own."""
    return [guess(Browser(f"203.0.113.{number}"), cast, 1, **other)[0] for number in range(1, times + 1)]


def test_ten_wrong_passwords_for_one_account_then_no_more(cast: Cast) -> None:
    assert from_elsewhere(cast, 12) == [401] * 10 + [429] * 2


def test_an_account_that_does_not_exist_is_throttled_just_the_same(cast: Cast) -> None:
    assert from_elsewhere(cast, 12, email="nobody@example.org") == [401] * 10 + [429] * 2


def test_the_right_password_does_not_help_a_strange_phone_while_throttled(cast: Cast) -> None:
    from_elsewhere(cast, 10)
    assert Browser().post("/api/session", cast.owner.sign_in).status_code == 429


def test_a_known_phone_gets_in_while_the_account_is_throttled(cast: Cast) -> None:
    Browser().post("/api/session", cast.owner.sign_in)
    from_elsewhere(cast, 12)
    assert Browser().post("/api/session", cast.owner.sign_in).status_code == 200


def test_a_known_phone_gets_in_while_its_address_is_throttled(cast: Cast) -> None:
    Browser().post("/api/session", cast.owner.sign_in)
    for number in range(LIMITS.address):
        guess(Browser(), cast, 1, email=f"n{number}@example.org")
    assert guess(Browser(), cast, 1, email="one@example.org") == [429]
    assert Browser().post("/api/session", cast.owner.sign_in).status_code == 200


def test_a_known_phone_is_held_to_its_own_count(cast: Cast) -> None:
    Browser().post("/api/session", cast.owner.sign_in)
    assert guess(Browser(), cast, 12, device=str(cast.owner.device)) == [401] * 10 + [429] * 2


def test_a_phone_known_for_one_person_is_strange_for_another(cast: Cast) -> None:
    Browser().post("/api/session", cast.picker.sign_in)
    from_elsewhere(cast, 10)
    assert guess(Browser(), cast, 1, device=str(cast.picker.device)) == [429]


def test_a_revoked_phone_is_strange_again(cast: Cast) -> None:
    Browser().post("/api/session", cast.picker.sign_in)
    cast.owner.phone.delete(f"/api/farm/phones/{cast.picker.device}")
    from_elsewhere(cast, 10, email="pia@example.org")
    assert Browser().post("/api/session", cast.picker.sign_in).status_code == 429


def test_one_address_may_guess_thirty_times_over_all_accounts(cast: Cast) -> None:
    browser = Browser(ELSEWHERE)
    statuses = [guess(browser, cast, 1, email=f"n{number}@example.org")[0] for number in range(32)]
    assert statuses == [401] * 30 + [429] * 2


def test_another_address_is_not_held_to_that(cast: Cast) -> None:
    for number in range(31):
        guess(Browser(ELSEWHERE), cast, 1, email=f"n{number}@example.org")
    assert Browser().post("/api/session", cast.owner.sign_in).status_code == 200


def test_right_passwords_are_not_counted(cast: Cast) -> None:
    statuses = [
        Browser().post("/api/session", cast.owner.sign_in | {"device": str(uuid4())}).status_code
        for _ in range(12)
    ]
    assert statuses == [200] * 12


def test_a_quarter_of_an_hour_later_one_may_try_again(cast: Cast, clock: Clock) -> None:
    assert guess(Browser(), cast, 11)[-1] == 429
    clock.forward(LIMITS.window + timedelta(seconds=1))
    assert Browser().post("/api/session", cast.owner.sign_in).status_code == 200


def test_trying_on_while_throttled_does_not_prolong_the_wait(cast: Cast, clock: Clock) -> None:
    guess(Browser(), cast, 10)
    clock.forward(timedelta(minutes=14))
    assert guess(Browser(), cast, 12) == [429] * 12
    clock.forward(timedelta(minutes=1, seconds=1))
    assert guess(Browser(), cast, 1) == [401]


def test_the_refusal_says_how_long_to_wait(cast: Cast, clock: Clock) -> None:
    guess(Browser(), cast, 10)
    clock.forward(timedelta(minutes=5))
    answer = Browser().post("/api/session", cast.owner.sign_in)
    assert answer.json() == {
        "code": "slow_down", "message": "Too many tries. Try again in 10 minutes.", "retry_after": 600,
    }  # fmt: skip
    assert answer.headers["Retry-After"] == "600"


def test_tries_are_forgotten_after_the_window(cast: Cast, clock: Clock) -> None:
    guess(Browser(), cast, 3)
    clock.forward(LIMITS.window)
    guess(Browser(), cast, 1)
    assert SignInTry.objects.count() == 1


def test_what_was_typed_as_an_e_mail_address_is_not_kept(cast: Cast) -> None:
    guess(Browser(), cast, 1, email="my-password-in-the-wrong-field")
    assert "my-password" not in str(vars(SignInTry.objects.get()))


@pytest.mark.django_db(transaction=True)
def test_guesses_at_the_same_moment_count_each_other(cast: Cast) -> None:
    together, statuses = Barrier(16, timeout=30), []

    def one(number: int) -> None:
        browser = Browser(f"203.0.113.{number}")
        body = cast.owner.sign_in | {"password": "guess", "device": str(uuid4())}
        browser.token()
        together.wait()
        statuses.append(browser.post("/api/session", body).status_code)
        connection.close()

    threads = [Thread(target=one, args=(number,)) for number in range(16)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(statuses) == {401, 429}
    assert statuses.count(401) <= LIMITS.account


@pytest.mark.parametrize(
    ("stated", "counted"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:aaaa::1", "2001:db8:1:2::"),
        ("2001:db8:1:2:bbbb::2", "2001:db8:1:2::"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("fe80::1%eth0", "fe80::"),
        ("", "unknown"),
        ("not an address", "unknown"),
    ],
)
def test_an_ipv6_household_is_one_address(stated: str, counted: str) -> None:
    assert address_of(RequestFactory(REMOTE_ADDR=stated).get("/")) == counted


def test_a_forwarded_address_is_not_believed_without_a_proxy_of_ones_own() -> None:
    request = RequestFactory(REMOTE_ADDR="192.0.2.7").get("/", headers={"X-Forwarded-For": "198.51.100.1"})
    assert address_of(request) == "192.0.2.7"


@override_settings(BEHIND_PROXY=True)
def test_behind_a_proxy_only_what_the_proxy_wrote_last_is_believed() -> None:
    forwarded = {"X-Forwarded-For": "10.1.1.1, 198.51.100.1"}
    request = RequestFactory(REMOTE_ADDR="127.0.0.1").get("/", headers=forwarded)
    assert address_of(request) == "198.51.100.1"


@override_settings(BEHIND_PROXY=True)
@pytest.mark.parametrize(
    ("forwarded", "counted"),
    [
        ("198.51.100.1:4411", "198.51.100.1"),
        ("10.1.1.1, [2001:db8:1:2::7]:4411", "2001:db8:1:2::"),
        ("[2001:db8:1:2::7]", "2001:db8:1:2::"),
        ("[::ffff:198.51.100.1]:4411", "198.51.100.1"),
        ("198.51.100.1,", "unknown"),
        ("[", "unknown"),
    ],
)
def test_a_port_is_no_part_of_an_address(forwarded: str, counted: str) -> None:
    request = RequestFactory(REMOTE_ADDR="127.0.0.1").get("/", headers={"X-Forwarded-For": forwarded})
    assert address_of(request) == counted
