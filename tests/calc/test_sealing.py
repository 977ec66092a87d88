"""Oxygen in a container, and the absorbers for it."""

from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harvestlog.calc import errors, sealing
from tests.calc.worked import check_call, examples

named = SimpleNamespace(**(vars(errors) | vars(sealing)))


@pytest.mark.parametrize("case", examples("sealing"))
def test_worked_example(case):
    check_call(case, vars(sealing), named)


@given(st.floats(10, 20000), st.floats(0, 1), st.floats(0.05, 2))
def test_the_whole_container_as_air_is_the_safe_side(container, part, density):
    fill = part * container * density * 0.999
    assert sealing.oxygen_ml(container, fill, density) <= sealing.oxygen_ml(container)


@given(st.floats(0, 5000), st.floats(20, 3000))
def test_absorbers_take_up_all_the_oxygen_and_none_is_too_many(oxygen, one):
    n = sealing.absorbers_needed(oxygen, one)
    assert n * one >= oxygen * (1 - 1e-9) - 1e-6
    assert (n - 1) * one < oxygen or n == 0


def test_an_overfull_jar_is_refused_in_words():
    with pytest.raises(sealing.OverFull, match="The fill, 300 g, takes 1500 mL, more than the 1000 mL"):
        sealing.oxygen_ml(1000, 300, 0.2)
