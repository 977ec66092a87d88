"""Masses as typed: taken, asked back or refused; never guessed."""

import math
import re

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harvestlog.blocks.masses import Mass, MassRefusal, format_mass, mass_parts, parse_mass
from tests.calc.worked import examples

UNITS = st.sampled_from(["g", "kg", "oz", "lb"])


@pytest.mark.parametrize("case", examples("masses"))
def test_typed_mass(case):
    result = parse_mass(case["text"], case["unit"])
    if "refuses" in case:
        assert isinstance(result, MassRefusal), result
        assert result.code == case["refuses"]
        assert case.get("says", "") in result.sentence
    else:
        assert result == Mass(case["expect"], case["text"])


@pytest.mark.parametrize("case", examples("masses", "shown"))
def test_shown_mass(case):
    assert format_mass(case["grams"], case["unit"]) == case["expect"]


@given(st.floats(min_value=0.1, max_value=1e6), UNITS)
def test_what_is_shown_can_be_typed_again(grams, unit):
    again = parse_mass(format_mass(grams, unit), "g")
    step = {"g": 1, "kg": 10, "oz": 2.84, "lb": 2.84}[unit]
    if isinstance(again, MassRefusal):
        # A mass that rounds to nothing in the unit it is shown in, for example 1 g as 0.0 oz.
        assert again.code == "zero"
        assert grams < step
    else:
        assert abs(again.grams - grams) <= step / 2 + 0.001


@given(st.integers(1, 10**9), st.sampled_from([",", "."]))
def test_a_whole_number_of_milligrams_comes_back_as_typed(milligrams, mark):
    # Four digits and more behind the mark are never thousands.
    typed = f"{milligrams // 1000}{mark}{milligrams % 1000:03}0 g"
    assert parse_mass(typed, "kg") == Mass(milligrams / 1000, typed)


@given(st.text(max_size=60) | st.text("0123456789., /½-lbozkg", max_size=45), UNITS)
def test_any_text_gives_grams_or_a_sentence(text, unit):
    result = parse_mass(text, unit)
    if isinstance(result, Mass):
        assert result.grams > 0
        assert math.isfinite(result.grams)
    else:
        assert re.search(r"[.?]$", result.sentence)


@pytest.mark.parametrize("unit", ["lb", "oz"])
def test_factors_are_those_of_pint_itself(unit):
    thousand = parse_mass(f"1000 {unit}", "g")
    assert isinstance(thousand, Mass)
    assert thousand.grams == pytest.approx(pint.UnitRegistry()(f"1000 {unit}").to("g").magnitude, abs=0.0006)


def test_digits_and_unit_come_apart_for_showing():
    assert mass_parts(552.816, "lb") == [("1", "lb"), ("3.5", "oz")]


def test_an_unknown_unit_to_show_in_is_refused():
    with pytest.raises(ValueError, match="'st' is no unit"):
        mass_parts(100, "st")  # type: ignore[arg-type]
