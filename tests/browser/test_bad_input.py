"""What a cold thumb types: asked back beside the field, with the value, and nothing lost."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import Grower


@pytest.fixture
def olga(shed: Shed, new_phone: NewPhone) -> Grower:
    """She has one block of 3 kg and stands before it, ready to weigh."""
    olga = Grower(new_phone())
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code)
    (label,) = olga.writes_down_a_delivery(blocks=1)
    olga.opens_block(label).taps("Weigh")
    olga.page.locator(".pad").wait_for()
    return olga


def types(olga: Grower, keys: str) -> None:
    """On a keyboard, which can also send what the pad has no key for."""
    olga.page.keyboard.type(keys)


def picks(olga: Grower) -> list[float]:
    return [op["op"]["fields"]["wet_g"] for op in olga.records()["outbox"] if op["op"]["kind"] == "pick"] + [
        row["fields"]["wet_g"] for row in olga.records()["confirmed"] if row["kind"] == "pick"
    ]


def test_an_ambiguous_figure_is_asked_back_with_both_readings(olga: Grower) -> None:
    types(olga, "1,250")
    olga.saves().sees(re.compile("is that 1.25 or 1250")).taps("1250 g")
    olga.saves().sees("Weigh next")
    assert set(picks(olga)) == {1250}


def test_forty_kilograms_from_a_three_kilogram_block_want_a_second_yes(olga: Grower) -> None:
    types(olga, "40")
    olga.page.locator(".pad").get_by_role("button", name="kg", exact=True).click()
    olga.saves().sees(re.compile(r"40.* from a block that weighed 3"))
    assert picks(olga) == []
    olga.taps(re.compile("^Yes, 40")).saves().sees("Weigh next")
    assert set(picks(olga)) == {40_000}


@pytest.mark.parametrize(
    ("keys", "says"), [("0", "nothing"), ("-5", "below zero"), ("3.4.5", "decimal mark"), ("", "Type a mass")]
)
def test_a_figure_that_is_no_weight_is_refused_in_words(olga: Grower, keys: str, says: str) -> None:
    types(olga, keys)
    olga.saves().sees(re.compile(says))
    assert picks(olga) == []


def test_dried_above_wet_is_refused_and_both_figures_stay(olga: Grower) -> None:
    types(olga, "300")
    olga.taps("Dried")
    types(olga, "310")
    olga.saves().sees(re.compile("310 g is above the 300 g"))
    assert picks(olga) == []


def test_a_pick_before_the_block_arrived_is_refused(olga: Grower) -> None:
    types(olga, "300")
    olga.taps("Earlier")
    olga.page.locator("input[type=datetime-local]").fill("2020-05-01T08:00")
    olga.saves().sees(re.compile("2020-05-01, but this block arrived on"))
    assert picks(olga) == []


def test_what_was_typed_is_still_there_after_the_browser_was_killed(olga: Grower) -> None:
    types(olga, "347")
    olga.sees(re.compile("Save 347 g"))
    olga.page.wait_for_timeout(300)  # a key press is written without waiting for the disk
    address = olga.page.url
    olga.phone.kill()
    olga.phone.open()
    olga.page.goto(address)
    olga.sees(re.compile("Save 347 g"))


def test_two_taps_on_save_are_one_pick(olga: Grower) -> None:
    types(olga, "340")
    save = olga.page.get_by_role("button", name=re.compile("^Save 340"))
    save.dblclick()
    olga.sees("Weigh next")
    assert len(picks(olga)) == 1


def test_a_file_that_is_no_picture_is_refused_with_its_name(olga: Grower, tmp_path: Path) -> None:
    (tmp_path / "notes.jpg").write_text("not a picture at all")
    types(olga, "340")
    olga.page.locator("input[type=file]").first.set_input_files(tmp_path / "notes.jpg")
    olga.sees(re.compile("notes.jpg"))
    olga.sees(re.compile("Save 340 g"))


@pytest.mark.parametrize(("typed", "says"), [("AAAAA", "AAAAA"), ("0O1I!", "0O1I!")])
def test_a_label_that_is_none_is_refused_with_its_value(olga: Grower, typed: str, says: str) -> None:
    olga.phone.page.goto(olga.phone.url + "#/blocks")
    olga.fills("Find by label", typed)
    expect(olga.page.locator(".wrong")).to_contain_text(says)
