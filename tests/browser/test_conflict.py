"""Two people weigh one pick anew with no signal: whoever did not stand is told, and has their own value with one tap."""

import re
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import Grower

BEA = {"name": "Bea", "email": "bea@example.org", "password": "six crates of straw"}
MASS = "Mass: 340 g by Olga, today {}, stands; you wrote 430 g."


def joins(bea: Grower, olga: Grower) -> None:
    """As a picker, by the address that the owner reads off her own phone."""
    olga.page.goto(f"{olga.phone.url}#/farm/people")
    address = olga.taps("Make an invitation").page.locator(".address")
    bea.phone.open(address.inner_text().split("/", 3)[3])
    for label, text in (("Your name", "name"), ("E-mail", "email"), ("Password", "password")):
        bea.fills(label, BEA[text])
    bea.page.get_by_role("button", name="Join", exact=True).click()
    bea.page.get_by_role("navigation").wait_for()


def weighs_anew(grower: Grower, label: str, before: str, grams: str) -> None:
    grower.opens_block(label).taps(re.compile(rf"^Picked {before} g"))
    for _ in before:
        grower.taps("Rub out the last")
    grower.presses(grams).saves().sees(re.compile(rf"^Picked {grams} g"))


def opens_the_block(grower: Grower) -> Grower:
    grower.goes("Blocks").page.get_by_role("link", name=re.compile("Grey oyster")).first.click()
    return grower.sees("Its story")


def farm_on(grower: Grower) -> list[dict[str, Any]]:
    return sorted(grower.records()["confirmed"], key=lambda row: str(row["id"]))


@pytest.fixture
def olga(shed: Shed, new_phone: NewPhone) -> Grower:
    olga = Grower(new_phone())
    olga.phone.open()
    return olga.starts_a_farm(shed.setup_code)


@pytest.fixture
def both_weighed(olga: Grower, new_phone: NewPhone, shed: Shed) -> Grower:
    """Bea wrote 430 g for a pick and then Olga 340 g, while the server was off; it is back, both phones are closed."""
    bea = Grower(new_phone())
    (label,) = olga.writes_down_a_delivery(blocks=1)
    olga.opens_block(label).taps("Weigh").presses("500").saves().sees("Weigh next").taps("See the block")
    olga.has_sent_everything()
    joins(bea, olga)
    bea.opens_block(label).is_ready_for_no_signal()
    shed.kill()
    weighs_anew(bea, label, "500", "430")
    weighs_anew(olga, label, "500", "340")
    for grower in (bea, olga):  # a test says who is the first to find the server
        grower.phone.close()
    shed.start()
    return bea


@pytest.fixture
def bea(olga: Grower, both_weighed: Grower) -> Grower:
    """Her 430 g came second and lost against Olga's 340 g."""
    olga.phone.open()
    olga.has_sent_everything()
    both_weighed.phone.open()
    both_weighed.reads_on_the_strip("a later value stands")
    return both_weighed


def test_both_values_are_told_one_tap_takes_mine_and_both_phones_come_to_agree(
    olga: Grower, bea: Grower
) -> None:
    bea.strip.click()
    bea.sees(re.compile(MASS.format(r"\d\d:\d\d")))
    bea.taps("Take mine").sees("Mass: 430 g stands now, on this phone.").has_sent_everything()
    expect(bea.page.get_by_text("stands; you wrote")).to_have_count(0)
    olga.tries_now()
    opens_the_block(olga).sees("Picked 430 g")
    opens_the_block(bea).sees("Picked 430 g")
    assert [row["fields"]["wet_g"] for row in farm_on(olga) if row["kind"] == "pick"] == [430]
    assert farm_on(olga) == farm_on(bea)


def test_the_picks_own_page_tells_it_too_and_leads_to_all_three_values(bea: Grower) -> None:
    opens_the_block(bea).sees(re.compile(MASS.format(r"\d\d:\d\d")))  # and where it was picked
    bea.taps(re.compile(r"^Picked 340 g")).sees(re.compile(MASS.format(r"\d\d:\d\d")))
    bea.page.get_by_role("link", name="What was changed").last.click()
    entries = bea.page.locator("main ol > li")
    expect(entries).to_have_count(3)
    expect(entries.nth(0)).to_contain_text(re.compile(r"you \(.+\).*Mass: 430 g did not stand"))
    expect(entries.nth(0)).to_contain_text("the later of two changes to one field stands: 340 g by Olga")
    expect(entries.nth(1)).to_contain_text(re.compile(r"Olga.*Mass: from 500 g to 340 g"))
    expect(entries.nth(2)).to_contain_text(re.compile(r"Olga.*New\..*Mass: 500 g"))
    entries.nth(2).get_by_role("button", name="Take 500 g").click()
    bea.sees("Mass: 500 g stands now, on this phone.").has_sent_everything()
    expect(entries.nth(0)).to_contain_text("Mass: from 340 g to 500 g")


def test_with_no_signal_mine_can_be_taken_and_taken_back(shed: Shed, bea: Grower) -> None:
    bea.strip.click()
    bea.sees(re.compile(MASS.format(r"\d\d:\d\d")))
    shed.kill()
    bea.page.reload()
    bea.sees(re.compile(MASS.format(r"\d\d:\d\d")))  # Olga's name too: it was heard before
    bea.taps("Take mine").reads_on_the_strip("1 on this phone").taps("Undo")
    bea.sees(re.compile("Mass: 340 g .*stands; you wrote 430 g"))


def test_what_is_left_as_it_is_is_told_no_more(bea: Grower) -> None:
    bea.strip.click()
    bea.taps("Leave it").reads_on_the_strip(re.compile(r"All sent \d"))
    expect(bea.page.get_by_text("stands; you wrote")).to_have_count(0)


def test_who_sent_first_and_was_replaced_unseen_is_told_when_they_look_again(
    olga: Grower, both_weighed: Grower
) -> None:
    bea = both_weighed
    bea.phone.open()
    bea.has_sent_everything().phone.close()
    olga.phone.open()
    olga.has_sent_everything()
    bea.phone.open()
    bea.reads_on_the_strip("a later value stands").strip.click()
    bea.sees(re.compile(MASS.format(r"\d\d:\d\d")))
    bea.taps("Take mine").sees("Mass: 430 g stands now, on this phone.").has_sent_everything()
    olga.tries_now()
    opens_the_block(olga).sees("Picked 430 g")
