"""Looking round the demo farm without an account."""

from uuid import uuid4

import pytest
from django.test import override_settings

from harvestlog.accounts.actions import console_setup_code
from harvestlog.accounts.doors import MOST_DEMO_FARMS
from harvestlog.accounts.models import Farm, Membership, Person
from tests.accounts.test_set_up import form as set_up_form
from tests.cast import Browser, Cast, Json


def bare_demo(person: Person) -> Farm:
    """In place of the season, which sync's own tests fill in."""
    return Farm.objects.create(name="Demo farm", is_demo=True)


@pytest.fixture(autouse=True)
def _demo_without_its_season(settings) -> None:
    settings.DEMO_MAKER = "tests.accounts.test_demo.bare_demo"


def device() -> Json:
    return {"device": str(uuid4()), "device_name": "Tablet"}


def test_before_there_is_a_farm_the_demo_is_offered(visitor: Browser) -> None:
    assert visitor.get("/api/session").json()["demo"] is True


def test_a_visitor_is_signed_in_to_a_demo_farm_as_its_owner(visitor: Browser) -> None:
    said = visitor.post("/api/demo", device()).json()
    assert (said["farm"]["name"], said["farm"]["role"], said["farm"]["is_demo"]) == (
        "Demo farm",
        "owner",
        True,
    )
    assert (said["person"]["name"], said["person"]["email"]) == ("Visitor", "")
    assert said["first_run"] is True


def test_two_visitors_do_not_see_each_others_tries(visitor: Browser) -> None:
    first = visitor.post("/api/demo", device()).json()
    second = Browser().post("/api/demo", device()).json()
    assert first["farm"]["id"] != second["farm"]["id"]


def test_a_visitor_who_comes_back_finds_the_same_demo_farm(visitor: Browser) -> None:
    body = device()
    first = visitor.post("/api/demo", body).json()
    assert Browser().post("/api/demo", body).json()["farm"]["id"] == first["farm"]["id"]
    assert Farm.objects.count() == 1


def test_nobody_is_invited_into_a_demo_farm(visitor: Browser) -> None:
    visitor.post("/api/demo", device())
    answer = visitor.post("/api/farm/invitations", {"role": "picker"})
    assert (answer.status_code, answer.json()["code"]) == (403, "not_allowed")


def test_with_a_farm_of_ones_own_the_demo_is_absent(cast: Cast, visitor: Browser) -> None:
    answer = visitor.post("/api/demo", device())
    assert (answer.status_code, answer.json()["code"]) == (404, "absent")


@override_settings(HARVESTLOG_DEMO="always")
def test_a_server_may_offer_the_demo_for_ever(cast: Cast, visitor: Browser) -> None:
    assert visitor.get("/api/session").json()["demo"] is True
    assert visitor.post("/api/demo", device()).status_code == 200


@override_settings(HARVESTLOG_DEMO="never")
def test_a_server_may_offer_no_demo_at_all(visitor: Browser) -> None:
    assert visitor.get("/api/session").json()["demo"] is False
    assert visitor.post("/api/demo", device()).status_code == 404


def test_the_first_farm_closes_the_demo_farms(visitor: Browser) -> None:
    visitor.post("/api/demo", device())
    Browser().post("/api/setup", set_up_form(console_setup_code()))
    assert visitor.get("/api/farm").status_code == 401
    assert not Farm.objects.filter(is_demo=True).exists()
    assert list(Person.objects.values_list("name", flat=True)) == ["Olga"]


@override_settings(HARVESTLOG_DEMO="always")
def test_where_the_demo_is_always_offered_the_first_farm_leaves_it_open(visitor: Browser) -> None:
    visitor.post("/api/demo", device())
    Browser().post("/api/setup", set_up_form(console_setup_code()))
    assert visitor.get("/api/farm").status_code == 200


def test_there_are_never_more_than_twenty_demo_farms_and_the_oldest_goes(db: None) -> None:
    visitors = [Browser(f"203.0.113.{number}") for number in range(MOST_DEMO_FARMS + 1)]
    for visitor in visitors:
        visitor.post("/api/demo", device())
    assert Farm.objects.count() == Person.objects.count() == Membership.objects.count() == 20
    assert visitors[0].get("/api/farm").status_code == 401
    assert visitors[1].get("/api/farm").status_code == 200


def test_one_address_opens_ten_demo_farms_a_quarter_of_an_hour(visitor: Browser) -> None:
    statuses = [visitor.post("/api/demo", device()).status_code for _ in range(11)]
    assert statuses == [200] * 10 + [429]


def test_one_device_is_let_back_in_ten_times_a_quarter_of_an_hour(visitor: Browser) -> None:
    body = device()
    statuses = [Browser().post("/api/demo", body).status_code for _ in range(12)]
    assert statuses == [200] * 10 + [429] * 2


def test_a_visitor_who_comes_back_gets_in_though_the_address_may_open_no_more(visitor: Browser) -> None:
    body = device()
    for mine in [body, *(device() for _ in range(10))]:
        visitor.post("/api/demo", mine)
    assert [visitor.post("/api/demo", mine).status_code for mine in (device(), body)] == [429, 200]


def test_a_visitor_cannot_be_signed_in_as_with_any_password(visitor: Browser) -> None:
    visitor.post("/api/demo", device())
    assert not Person.objects.get().has_usable_password()
