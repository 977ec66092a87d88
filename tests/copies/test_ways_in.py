"""What let somebody in without a sign-in when the copy was made lets nobody in after it was put back."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import uuid4

import pytest

from harvestlog.copies import ways_in
from tests.copies.conftest import a_farm
from tests.copies.sites import PASSWORD, Hand, Line, new_site

REPORTS = "/api/reports/supplier-reports"


@dataclass
class Ways:
    """Every one of them is open when the copy is made."""

    link: str
    calendar: str
    invitation: str
    pairing: str
    password: str


@pytest.fixture(scope="module")
def restored(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Hand, Ways]]:
    """The owner, signed in again after the restore, and the ways there were."""
    with new_site(tmp_path_factory.mktemp("ways") / "farm") as site:
        kept = a_farm(site)
        served = site.up()
        ways = open_ways(kept.ada.at(served.url).sign_in())
        served.stop()
        assert site.run("restore", str(kept.backup()), "--yes").returncode == 0
        served = site.up()
        try:
            yield kept.ada.at(served.url).sign_in(), ways
        finally:
            served.stop()


def open_ways(ada: Hand) -> Ways:
    supplier, report = str(uuid4()), str(uuid4())
    ada.change("add", "supplier", supplier, {"name": "Three Larches"})
    ada.sync()
    ada._post(REPORTS, {"id": report, "supplier": supplier})
    bo = Hand("Bo").join(ada, "picker")
    person = bo._get("/api/session", {})["person"]["id"]
    ways = Ways(
        link=ada._post(f"{REPORTS}/{report}/shares", {"days": 30})["address"],
        calendar=ada._post("/api/reports/calendar", {})["address"],
        invitation=ada._post("/api/farm/invitations", {"role": "owner"})["code"],
        pairing=ada._post("/api/farm/pairings", {})["code"],
        password=ada._post(f"/api/farm/people/{person}/password-code", {})["code"],
    )
    assert {status(ada, open) for open in (ways.link, f"{ways.link}/report.pdf", ways.calendar)} == {200}
    return ways


def status(ada: Hand, path: str) -> int:
    return Line(ada.line.url).ask("GET", path)[0]


def tried(ada: Hand, door: str, **form: str) -> str:
    """How a stranger with the code is refused."""
    _, said = Line(ada.line.url).ask("POST", door, form)
    return str(said["code"])


def test_a_link_to_a_report_leads_nowhere_and_stands_as_taken_back(restored: tuple[Hand, Ways]) -> None:
    ada, ways = restored
    assert status(ada, ways.link) == 404
    assert ada.line.ask("GET", REPORTS)[1][0]["shares"][0]["revoked"] is not None


def test_a_calendar_address_leads_nowhere(restored: tuple[Hand, Ways]) -> None:
    ada, ways = restored
    assert status(ada, ways.calendar) == 404


def test_an_open_invitation_admits_nobody(restored: tuple[Hand, Ways]) -> None:
    ada, ways = restored
    form = {"email": "eve@example.org", "name": "Eve", "password": PASSWORD, "device": str(uuid4())}
    assert tried(ada, "/api/join", code=ways.invitation, **form) == "wrong_code"


def test_a_code_for_another_phone_signs_nobody_in(restored: tuple[Hand, Ways]) -> None:
    ada, ways = restored
    assert tried(ada, "/api/pair", code=ways.pairing, device=str(uuid4())) == "wrong_code"


def test_a_code_for_a_new_password_changes_none(restored: tuple[Hand, Ways]) -> None:
    ada, ways = restored
    assert tried(ada, "/api/password", code=ways.password, password="another-lamp-and-a-rope") == "wrong_code"


def test_a_copy_of_an_older_release_may_lack_some_of_the_tables() -> None:
    assert ways_in.orders({"accounts_invitation"}) == ["DELETE FROM accounts_invitation WHERE used IS NULL"]
