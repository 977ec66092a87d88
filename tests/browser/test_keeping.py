"""An evening of keeping with no signal: what the phone says then is what the server's own calculation says afterwards."""

import math
import re
from dataclasses import dataclass
from typing import Any

import pytest

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import Grower

ASK = "() => fetch('/api/reports/keeping?zone=UTC').then((answer) => answer.json())"


@dataclass
class Evening:
    """Where what was kept stands on the phone."""

    load: str
    jar: str


def address(grower: Grower) -> str:
    return "#" + grower.page.url.split("#")[1]


def picks_two_blocks(olga: Grower) -> list[str]:
    labels = olga.writes_down_a_delivery(blocks=2)
    for label, grams in zip(labels, ("340", "512"), strict=True):
        olga.opens_block(label).taps("Weigh").presses(grams).saves().sees("Weigh next").taps("See the block")
    return labels


def dries_a_load(olga: Grower, labels: list[str]) -> str:
    """Both picks in one load, three weighings, and out; returns where it stands."""
    olga.goes("Keeping").taps("New load")
    for label in labels:
        olga.taps(re.compile(f"^{' '.join(label)}"))
    olga.sees(re.compile("should end near .*published water content")).taps("Start the load, 852 g")
    for grams in ("600", "150", "95"):
        olga.taps("Weigh").presses(grams).saves().sees(re.compile(f"^{grams} g of the load"))
    olga.page.wait_for_url(
        re.compile(r"#/drying/[^/]+$")
    )  # the bar says that it is saved before the page has changed
    load = address(olga)
    olga.taps("Out of the dryer").taps(re.compile("As weighed .*: 95 g")).taps("Out, dried 95 g")
    olga.sees("share of the load")
    return load


def closes_a_jar(olga: Grower) -> str:
    """62 of the 95 g, sealed with absorbers; 20 g are taken out again."""
    olga.taps("Fill a jar").sees("risks botulism").fills("Dry mass in it", "62 g")
    olga.fills("Volume of the container", "1 L").taps("In it").fills("One takes up, mL", "100")
    olga.sees("1000 mL of air hold 210 mL of oxygen: 3 absorbers").taps("Close the jar")
    olga.sees(re.compile("Look in and shake it daily"))
    jar = address(olga)
    olga.taps("Take some out").presses("80").sees("The jar holds 62 g by the record; you typed 80 g.")
    for _ in "80":
        olga.taps("Rub out the last")
    olga.presses("20").taps("Take 20 g").sees(re.compile("left of 62 g dry"))
    return jar


def keeps_all_evening(olga: Grower) -> Evening:
    load = dries_a_load(olga, picks_two_blocks(olga))
    return Evening(load=load, jar=closes_a_jar(olga))


def as_shown(estimate: dict[str, Any]) -> tuple[str, str]:
    """As the screens round an estimate in grams: no finer than a quarter of its interval."""
    low, value, high = (float(estimate[end]) for end in ("low", "value", "high"))
    step = 10 ** math.floor(math.log10(max((high - low) / 4, 0.1)))
    value, low, high = (max(step, math.floor(each / step + 0.5) * step) for each in (value, low, high))
    assert high < 1000, "this rounding is for grams"
    return f"{value:g} g", f"likely {low:g} to {high:g} g"


def sees_what_the_server_says(grower: Grower, evening: Evening, told: dict[str, Any]) -> None:
    (load,), (jar,) = told["dryings"], told["jars"]
    grower.page.goto(grower.phone.url + evening.load)
    near, likely = as_shown(load["estimate"])
    grower.sees(f"This load was expected near {near}, {likely} ({load['estimate']['basis']}).")
    for share in load["shares"].values():
        grower.sees(re.compile(rf"^{share:.0f} g\s+share of the load"))
    grower.page.goto(grower.phone.url + evening.jar)
    assert jar["left_g"] == 42
    fresh = jar["fresh_equivalent"]
    assert fresh["value"] == pytest.approx(42 * 852 / 95)
    grower.sees(re.compile(r"^42\s*g$"))
    grower.sees(f"That is {fresh['value']:.0f} g fresh, by {fresh['basis']}.")


def test_an_evening_of_keeping_with_no_signal_says_what_the_server_says_afterwards(
    shed: Shed, new_phone: NewPhone
) -> None:
    olga = Grower(new_phone())
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code).is_ready_for_no_signal()
    shed.kill()
    evening = keeps_all_evening(olga)

    shed.start()
    olga.tries_now().has_sent_everything()
    told = olga.page.evaluate(ASK)
    sees_what_the_server_says(olga, evening, told)

    second = Grower(new_phone())
    second.phone.open()
    second.signs_in().has_sent_everything()
    sees_what_the_server_says(second, evening, told)


def test_a_load_that_rises_or_dries_to_next_to_nothing_is_asked_back_and_kept_after_a_yes(
    shed: Shed, new_phone: NewPhone
) -> None:
    olga = Grower(new_phone())
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code)
    labels = picks_two_blocks(olga)
    olga.goes("Keeping").taps("New load").taps(re.compile(f"^{' '.join(labels[0])}")).taps(
        "Start the load, 340 g"
    )
    olga.taps("Weigh").presses("100").saves().sees(re.compile("^100 g of the load"))
    olga.taps("Weigh").presses("120").sees(re.compile("120 g is above the 100 g")).taps("Yes, 120 g is right")
    olga.saves().sees(re.compile("^120 g of the load"))
    olga.taps("Out of the dryer").presses("9").sees(re.compile("9 g from 340 g is 3 %; 5 to 20 % is usual"))
    olga.taps("Yes, dried 9 g is right").taps("Out, dried 9 g").sees("dried, from 340 g fresh")
    olga.tries_now().has_sent_everything()


def test_a_load_that_is_being_written_is_there_again_after_the_phone_was_killed(
    shed: Shed, new_phone: NewPhone
) -> None:
    olga = Grower(new_phone())
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code)
    labels = picks_two_blocks(olga)
    olga.goes("Keeping").taps("New load").taps(re.compile(f"^{' '.join(labels[0])}")).taps("Freeze-dryer")
    olga.fills("Set to, °C", "-12")
    olga.page.wait_for_timeout(300)  # a key press is on the disk a moment later
    olga.phone.kill()
    olga.phone.open("#/drying/new")
    olga.sees("Start the load, 340 g")
    assert olga.page.get_by_label("Set to, °C").input_value() == "-12"
    assert olga.page.get_by_role("button", name="Freeze-dryer").get_attribute("aria-pressed") == "true"
