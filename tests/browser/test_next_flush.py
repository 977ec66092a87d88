"""From one flush to the next: what was noted and photographed since the last pick decides what the phone proposes."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import Grower
from tests.photos.camera import snapshot


@pytest.fixture
def olga(shed: Shed, new_phone: NewPhone) -> Grower:
    olga = Grower(new_phone())
    olga.phone.open()
    return olga.starts_a_farm(shed.setup_code)


def picks(olga: Grower, label: str, digits: str) -> None:
    olga.opens_block(label).taps("Weigh").presses(digits).saves().sees("Weigh next").taps(re.compile("^See"))


def notes(olga: Grower, what: str) -> None:
    olga.taps("Note").taps(re.compile(f"^{what}"))


def proposed(olga: Grower) -> str:
    """The flush that the weigh pad has chosen."""
    flushes = olga.page.get_by_role("group", name="Flush", exact=True)
    return flushes.locator("[aria-pressed=true]").inner_text()


def test_after_a_soak_and_pins_the_pad_proposes_the_next_flush(olga: Grower, tmp_path: Path) -> None:
    (tmp_path / "pins.jpg").write_bytes(snapshot(320, 240))
    (label,) = olga.writes_down_a_delivery(blocks=1)
    olga.opens_block(label).sees("Waiting for first pins").sees("that nothing comes")
    picks(olga, label, "412")
    olga.sees("Fruiting, flush 1").taps("Weigh")
    assert proposed(olga) == "Flush 1"
    olga.taps("Back")
    notes(olga, "Soaked")
    olga.taps("Out after 12 hours").saves().sees("Soaking after flush 1")
    olga.taps("Photo")
    olga.page.get_by_label("Pins", exact=True).set_input_files(tmp_path / "pins.jpg")
    olga.sees("What is coming")
    expect(olga.page.get_by_text("that nothing more comes")).to_have_count(0)
    olga.taps("Weigh")
    assert proposed(olga) == "Start 2"
    olga.taps("Flush 1").presses("85").taps(re.compile("^Save 85 g, flush 1"))
    olga.sees("Weigh next")


def test_a_flush_that_was_called_over_is_due_no_more(olga: Grower) -> None:
    (label,) = olga.writes_down_a_delivery(blocks=1)
    picks(olga, label, "300")
    olga.goes("Today").sees("Flush open").taps(f"Flush is over: {label}").sees("Flush over")
    expect(olga.page.get_by_role("heading", name="Flush open")).to_have_count(0)
    olga.opens_block(label).sees("Resting after flush 1").taps("Weigh")
    assert proposed(olga) == "Start 2"


def test_a_mouldy_block_is_to_be_discarded_until_it_is_or_the_note_is_taken_back(olga: Grower) -> None:
    (label,) = olga.writes_down_a_delivery(blocks=1)
    picks(olga, label, "300")
    notes(olga, "Contamination")
    olga.page.get_by_label("What it looks like").select_option("green_mould")
    olga.saves().sees("Green mould seen today. Eat nothing that grew on it.")
    expect(olga.page.get_by_role("heading", name=re.compile("come"))).to_have_count(0)
    olga.taps("Undo").sees("Taken back").sees("What may still come")
    notes(olga, "Contamination")
    olga.page.get_by_label("What it looks like").select_option("green_mould")
    olga.saves().goes("Today").sees("Contaminated: eat nothing from it").taps(f"Discard {label}")
    olga.sees("Discarded")
    expect(olga.page.get_by_text("Green mould seen")).to_have_count(0)
