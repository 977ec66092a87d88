"""An evening of soaking back, extracts and readings with no server; then the server and a second phone tell the same."""

import re
from typing import Any

from playwright.sync_api import expect

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import Grower

SOAKED = (("5", "100"), ("15", "135"), ("30", "148"), ("60", "155"))  # minutes, grams drained of 30 g


def opens(olga: Grower, address: str) -> Grower:
    olga.page.evaluate("address => { location.hash = address }", address)
    olga.page.locator("main h1").wait_for()
    return olga


def figure(olga: Grower, name: str) -> str:
    named = olga.page.locator("dl.figures > *").filter(has=olga.page.locator("dt", has_text=name))
    return named.locator(".figure").first.inner_text()


def soaks_30_g(olga: Grower) -> str:
    """A trial of 30 g with four drained weighings; returns its address."""
    opens(olga, "#/trial/new").fills("Dry mass", "30 g").fills("Water, °C", "40")
    olga.page.get_by_label("Variety").select_option(label="Grey oyster")
    olga.saves().sees("min in the water")
    address = olga.page.url.split("#")[1]
    for minutes, grams in SOAKED:
        olga.taps("Weigh").fills("Minutes in the water", minutes).presses(grams).saves()
        expect(olga.page.locator("table")).to_contain_text(f"{minutes} min")
    return f"#{address}"


def makes_an_extract(olga: Grower) -> str:
    opens(olga, "#/extract/new").fills("Dry mass", "60 g").fills("Spirit", "500 mL")
    olga.fills("Its strength, as on the bottle", "190 proof").sees("Estimate").saves()
    olga.sees(re.compile("Strain it from"))
    address = olga.page.url.split("#")[1]
    olga.taps("Shaken").sees("Its steps").taps("Strained")
    olga.sees(re.compile("No flame and no hot plate")).fills("Strained off, spirit", "410 mL").saves()
    olga.sees("Strained, 410 mL").taps("Boiled").fills("Water stage, strained", "0,9 L").saves()
    olga.sees("Boiled, 900 mL")
    return f"#{address}"


def reads_the_air(olga: Grower) -> str:
    opens(olga, "#/farm/places").taps("New place").fills("Name", "Cellar").saves()
    olga.taps("Cellar").taps("Note temperature and humidity").fills("Temperature, °C", "18").fills(
        "Humidity, %", "90"
    ).saves()
    olga.sees("Dew point")
    return f"#{olga.page.url.split('#')[1]}"


def told(olga: Grower) -> Any:
    return olga.page.evaluate("() => fetch('/api/reports/keeping').then((answer) => answer.json())")


def test_what_was_soaked_steeped_and_read_without_a_server_is_told_alike_by_everybody(
    shed: Shed, new_phone: NewPhone
) -> None:
    olga = Grower(new_phone())
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code)
    olga.writes_down_a_delivery(blocks=1)
    olga.tries_now().has_sent_everything().is_ready_for_no_signal()
    shed.kill()

    trial, extract, place = soaks_30_g(olga), makes_an_extract(olga), reads_the_air(olga)
    # psychrolib 2.5.0 for 18 °C and 90 %: 16.336 °C and 0.2064 kPa.
    assert figure(olga, "Dew point").startswith("16.3")
    assert figure(olga, "Vapour pressure deficit").startswith("0.21")

    shed.start()
    olga.tries_now().has_sent_everything()
    server = told(olga)
    (soaked,), (steeped,) = server["trials"], server["extracts"]
    assert soaked["soak_minutes"] < 60  # the weighings reach so far, so the sentence is the short one
    opens(olga, trial).sees(re.compile(f"Soak about {_kitchen_minutes(soaked['soak_minutes'])} min"))
    assert figure(olga, "Coefficient of rehydration").startswith(f"{100 * soaked['coefficient']:.0f}")
    joined = steeped["joined_pct_vol"]["value"]
    assert figure(opens(olga, extract), "The two joined").startswith(f"{joined:.1f}")

    other = Grower(new_phone())
    other.phone.open()
    other.signs_in().has_sent_everything()
    assert figure(opens(other, extract), "The two joined").startswith(f"{joined:.1f}")
    opens(other, place).sees("Dew point")


def _kitchen_minutes(minutes: float) -> int:
    step = 1 if minutes < 20 else 5
    return round(minutes / step) * step


def test_what_cannot_be_is_asked_back_and_nothing_typed_is_lost(shed: Shed, new_phone: NewPhone) -> None:
    olga = Grower(new_phone())
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code)
    opens(olga, "#/extract/new").fills("Dry mass", "60 lb").fills("Spirit", "0.5")
    olga.fills("Its strength, as on the bottle", "190 %").saves()
    olga.sees("it cannot be above 100 % by volume. If the label says proof, write 190 proof.")
    olga.sees("Write 0.5 L or 0.5 mL")
    olga.fills("Spirit", "0.5 L").fills("Its strength, as on the bottle", "190 proof").saves()
    olga.sees("27.22 kg of mushrooms is much for one extract: is the unit right?")
    olga.page.reload()
    expect(olga.page.get_by_label("Dry mass")).to_have_value("60 lb")
    expect(olga.page.get_by_label("Spirit", exact=True)).to_have_value("0.5 L")

    opens(olga, "#/trial/new").fills("Dry mass", "30 g").saves()
    olga.taps("Weigh").fills("Minutes in the water", "10").presses("20").saves()
    olga.sees("The drained mass, 20 g, is below the dry mass, 30 g")
    assert not [op for op in olga.records()["outbox"] if op["op"]["kind"] == "trial_weighing"]


def test_a_trial_from_a_jar_takes_from_it_in_one_save_and_gives_it_back_in_one_undo(
    shed: Shed, new_phone: NewPhone
) -> None:
    olga = Grower(new_phone())
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code).is_ready_for_no_signal()
    shed.kill()  # or the outbox is empty before anybody looks
    opens(olga, "#/jar/new").fills("What is in it", "Oyster caps").fills("Dry mass in it", "62 g")
    olga.taps("Close the jar")
    olga.sees(re.compile("Look in and shake it daily")).taps(re.compile("^Soaking trial"))
    olga.fills("Dry mass", "80 g").saves().sees(re.compile("holds 62 g, and this takes 80 g"))
    olga.fills("Dry mass", "12 g").saves().sees("min in the water")
    assert [op["op"]["kind"] for op in olga.records()["outbox"]][-2:] == ["trial", "taking"]
    olga.taps("Undo").sees("Taken back.")
    opens(olga, "#/trial/new")
    expect(olga.page.get_by_label("From which jar")).to_contain_text("62 g left")
