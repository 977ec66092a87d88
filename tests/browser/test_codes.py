"""Codes on real phones: another phone of one's own, a forgotten password, and the password typed again for an act."""

import re
import sqlite3
from pathlib import Path

import pytest

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import OLGA, Grower

NEW = "five lanterns and a cellar"


def long_ago(shed: Shed) -> None:
    """As if every password had been typed an hour ago. Written into the server's own database: phones have no clock of it."""
    with sqlite3.connect(shed.folder / "harvestlog.sqlite3", timeout=20) as database:
        database.execute("UPDATE accounts_phone SET confirmed = datetime(confirmed, '-1 hour')")
    database.close()


def at_people(grower: Grower) -> Grower:
    grower.page.goto(f"{grower.phone.url}#/farm/people")
    return grower.sees("Another phone of mine")


@pytest.fixture
def olga(new_phone: NewPhone, shed: Shed) -> Grower:
    grower = Grower(new_phone())
    grower.phone.open()
    return grower.starts_a_farm(shed.setup_code)


def test_a_second_phone_is_signed_in_by_the_code_on_the_first(olga: Grower, new_phone: NewPhone) -> None:
    at_people(olga).taps("Show a code")
    picture = olga.page.get_by_role("img", name=re.compile("QR code"))
    picture.wait_for()
    assert picture.evaluate("image => image.complete && image.naturalWidth > 100")
    address = olga.page.locator(".address").inner_text().strip()
    second = Grower(new_phone())
    second.phone.open(address.removeprefix(second.phone.url))
    second.sees("Go on only if that is you").taps("Sign this phone in").sees("Write down a delivery")
    olga.taps("Done")
    olga.page.locator("li.member", has_text="Sign this phone out").first.wait_for()
    again = Grower(new_phone())
    again.phone.open(address.removeprefix(again.phone.url))
    again.taps("Sign this phone in").sees("used or older than ten minutes")


def test_an_act_asks_for_the_password_and_goes_on_by_itself(olga: Grower, shed: Shed) -> None:
    at_people(olga)
    long_ago(shed)
    olga.taps("Make an invitation").sees("Is it you?")
    olga.fills("Password", "not this one").taps("Go on").sees("That is not your password")
    olga.fills("Password", OLGA["password"]).taps("Go on").sees("Send this address")
    olga.has_sent_everything()


def test_who_does_not_type_it_has_done_nothing(olga: Grower, shed: Shed) -> None:
    at_people(olga)
    long_ago(shed)
    olga.taps("Make an invitation").sees("Is it you?").taps("Not now").sees("Not done")
    assert olga.page.get_by_text("Send this address").count() == 0


def test_all_records_in_a_file_want_the_password_too(olga: Grower, shed: Shed, tmp_path: Path) -> None:
    olga.page.goto(f"{olga.phone.url}#/farm/exports")
    olga.sees("Save as JSON")
    long_ago(shed)
    olga.taps("Save as JSON").sees("Is it you?").fills("Password", OLGA["password"])
    with olga.page.expect_download() as coming:
        olga.taps("Go on")
    assert coming.value.suggested_filename.endswith(".json")


def test_a_changed_password_is_the_one_that_signs_in(olga: Grower, new_phone: NewPhone) -> None:
    at_people(olga)
    olga.page.get_by_text("Change my password").click()
    olga.fills("Present password", OLGA["password"]).fills("New password", NEW).taps("Change it")
    olga.sees("Your password is changed")
    second = Grower(new_phone())
    second.phone.open()
    second.page.get_by_label("E-mail").wait_for()
    second.fills("E-mail", OLGA["email"]).fills("Password", NEW)
    second.page.get_by_role("button", name="Sign in", exact=True).click()
    second.sees("Write down a delivery")


def test_a_member_who_forgot_the_password_chooses_a_new_one(olga: Grower, new_phone: NewPhone) -> None:
    at_people(olga).taps("Make an invitation")
    joining = olga.page.locator(".address").inner_text().strip()
    pia = Grower(new_phone())
    pia.phone.open(joining.removeprefix(pia.phone.url))
    pia.fills("Your name", "Pia").fills("E-mail", "pia@example.org").fills("Password", "a lamp in a shed")
    pia.page.get_by_role("button", name="Join", exact=True).click()
    pia.page.get_by_role("navigation").wait_for()
    olga.goes("Today")
    at_people(olga)
    olga.page.get_by_text("Change role, new password, remove").click()
    olga.taps("Pia forgot the password").sees("Send Pia this address")
    address = olga.page.locator("li.member .address").inner_text().strip()
    anew = Grower(new_phone())
    anew.phone.open(address.removeprefix(anew.phone.url))
    anew.fills("New password", NEW).taps("Choose this password")
    anew.page.get_by_role("navigation").wait_for()
    pia.tries_now().sees(re.compile("Sign in"))


def test_an_invitation_can_be_copied_and_read_by_a_camera(olga: Grower) -> None:
    at_people(olga).taps("Make an invitation").sees("It works once, until")
    picture = olga.page.get_by_role("img", name="QR code that opens the invitation on another phone")
    assert picture.evaluate("image => image.decode().then(() => image.naturalWidth)") > 100
    olga.page.get_by_role("button", name="Copy", exact=True).click()
    olga.sees("Copied.")


def test_signing_out_is_asked_once(olga: Grower) -> None:
    olga.page.goto(f"{olga.phone.url}#/farm/phone")
    olga.taps("Sign out").sees("You need a signal to come back in").taps("No, leave it")
    olga.taps("Sign out").sees("You need a signal to come back in").taps("Sign out")
    olga.sees("Forgotten it?").sees("harvestlog password you@example.org")


def test_whoever_looked_round_the_demo_farm_is_told_that_it_has_closed(
    new_phone: NewPhone, shed: Shed
) -> None:
    visitor, olga = Grower(new_phone()), Grower(new_phone())
    visitor.phone.open()
    visitor.taps("Look round the demo farm")
    visitor.page.get_by_role("navigation").wait_for()
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code)
    visitor.tries_now().sees("The demo farm has closed.")
    visitor.taps("Go to the door").sees("Forgotten it?")
