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
    olga.saves().sees(re.compile("1 May 2020, but this block arrived on"))
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


CHANGED = re.compile("changed on this phone")


def changes_its_mass(olga: Grower, typed: str) -> None:
    """From the pad to the block's papers."""
    olga.page.goto(olga.page.url.replace("/weigh/", "/block/") + "/edit")
    olga.fills("Wet mass on arrival", typed).saves()


def blocks(olga: Grower) -> list[float]:
    kept = {row["id"]: row["fields"] for row in olga.records()["confirmed"] if row["kind"] == "block"}
    for op in olga.records()["outbox"]:
        if op["op"]["kind"] == "block":
            kept[op["op"]["row"]] = kept.get(op["op"]["row"], {}) | op["op"]["fields"]
    return [fields["wet_g"] for fields in kept.values()]


def test_three_grams_for_a_block_are_asked_back_and_one_tap_makes_them_kilograms(olga: Grower) -> None:
    changes_its_mass(olga, "3")
    olga.sees("3 g for a block?")
    assert blocks(olga) == [3000]
    olga.fills("Wet mass on arrival", "2,5").saves().taps("2,5 kg").saves().sees(CHANGED)
    assert blocks(olga) == [2500]


def test_forty_kilograms_for_a_block_want_a_yes(olga: Grower) -> None:
    changes_its_mass(olga, "40 kg")
    olga.sees("40 kg for a block?")
    assert blocks(olga) == [3000]
    olga.taps("40 kg is right").saves().sees(CHANGED)
    assert blocks(olga) == [40_000]


def test_the_mass_of_a_block_can_be_corrected_where_a_pick_is_too_heavy_for_it(olga: Grower) -> None:
    types(olga, "3400")
    olga.sees(re.compile(r"3400 g from a block that weighed 3 kg")).taps("Correct the block's mass")
    olga.fills("Wet mass on arrival", "5 kg").saves()
    olga.saves().sees("Weigh next")
    assert set(picks(olga)) == {3400}


@pytest.mark.parametrize(
    ("when", "says"),
    [("2099-12-24T08:00", "still to come"), ("2020-12-24T08:00", "24 Dec 2020, but this block arrived")],
)
def test_a_time_at_which_pins_cannot_have_been_seen_is_refused(olga: Grower, when: str, says: str) -> None:
    olga.page.goto(olga.page.url.replace("/weigh/", "/block/") + "/happened")
    olga.taps("Earlier").fills("Day and time", when).taps("Pins seen").sees(re.compile(says))
    assert [op for op in olga.records()["outbox"] if op["op"]["kind"] == "happening"] == []


def test_a_soak_that_lost_weight_is_asked_back_and_one_tap_swaps_the_masses(olga: Grower) -> None:
    olga.page.goto(olga.page.url.replace("/weigh/", "/block/") + "/happened")
    olga.taps(re.compile("^Soaked")).fills("Mass before", "3.31 kg").fills("Mass after", "3 kg")
    olga.saves().sees("Lighter after the soak: swapped?").taps("Swap them")
    olga.sees("It took up 310 g of water, 10 %.")
    olga.saves().page.locator(".pad").wait_for()
    olga.page.goto(olga.page.url.replace("/weigh/", "/block/"))
    olga.sees(re.compile(r"kg to 3\.31 kg, took up 310 g of water, 10 %"))


def test_half_a_block_is_on_no_button(olga: Grower) -> None:
    olga.page.goto(olga.phone.url + "#/delivery")
    olga.fills("How many blocks", "2.5")
    expect(olga.page.get_by_role("button", name="Save", exact=True)).to_be_visible()
    olga.saves().sees(re.compile("“2.5” is no number of blocks"))


COVERED = """
() => [...document.querySelectorAll(".pad button, .acts .main")].filter((button) => {
  const { left, right, top, bottom } = button.getBoundingClientRect();
  return [[left + 5, top + 3], [right - 5, bottom - 3]].some(([x, y]) => {
    const seen = document.elementFromPoint(x, y);
    return seen === null || !button.contains(seen);
  });
}).map((button) => button.textContent || button.ariaLabel)
"""


@pytest.mark.parametrize(("width", "height"), [(375, 620), (320, 568), (390, 844)])
def test_after_a_save_no_key_of_the_next_pad_is_covered(olga: Grower, width: int, height: int) -> None:
    olga.page.set_viewport_size({"width": width, "height": height})
    types(olga, "340")
    olga.saves().sees("Weigh next").taps("Weigh it again")
    olga.page.locator(".pad").wait_for()
    expect(olga.page.get_by_role("button", name="Undo")).to_be_visible()
    assert olga.page.evaluate(COVERED) == []
    keys = olga.page.locator(".pad button").all()
    assert min((key.bounding_box() or {"height": 0})["height"] for key in keys) >= 48
    types(olga, "4")
    expect(olga.page.get_by_role("button", name="Undo")).to_have_count(0)
    assert olga.page.evaluate(COVERED) == []


def test_what_was_saved_is_still_taken_back_above_the_next_pad(olga: Grower) -> None:
    types(olga, "340")
    olga.saves().sees("Weigh next").taps("Weigh it again").taps("Undo")
    olga.sees("Taken back.")
    olga.page.wait_for_timeout(300)
    deleted = [op for op in olga.records()["outbox"] + olga.records()["sent"] if op["op"]["verb"] == "delete"]
    assert len(deleted) == 1


def test_a_farm_without_places_names_its_first_where_a_block_is_moved_to(olga: Grower) -> None:
    olga.page.goto(olga.page.url.replace("/weigh/", "/block/") + "/happened")
    olga.taps(re.compile("^Moved")).page.get_by_label("Where it stands now").select_option("A new place")
    olga.saves().sees("Write a name for the place.")
    olga.fills("Name of the new place", "Cellar").saves().page.locator(".pad").wait_for()
    olga.page.goto(olga.page.url.replace("/weigh/", "/block/"))
    olga.sees("Moved to Cellar")


def test_blocks_are_put_at_a_place_in_one_save(olga: Grower) -> None:
    olga.page.goto(olga.phone.url + "#/place/new")
    olga.fills("Name", "Cellar").saves().sees("Cellar is on this phone")
    olga.page.goto(olga.phone.url + "#/farm/places")
    olga.taps(re.compile("^Cellar"))
    olga.sees("no block stands here").taps("Put blocks here").taps(re.compile("no place noted"))
    olga.taps("Put 1 block here").sees("1 growing")
