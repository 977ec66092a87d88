"""Dry-down: food tables' water first, then there and back."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harvestlog.calc import drying, errors
from tests.calc.worked import check_call, examples

waters = st.floats(min_value=0, max_value=99)


@pytest.mark.parametrize("case", examples("drying"))
def test_worked_example(case):
    check_call(case, vars(drying), errors)


@given(st.floats(min_value=1, max_value=1e6), waters, waters)
def test_weights_dried_to_a_water_content_give_the_ratio_expected_from_it(wet, one, other):
    final, fresh = sorted((one, other))
    dry = wet * (100 - fresh) / (100 - final)
    ratio = drying.dry_down_ratio(wet, min(dry, wet))
    assert math.isclose(ratio, drying.dry_down_from_water(fresh, final), rel_tol=1e-9)


@given(st.floats(min_value=1, max_value=1e6), st.floats(min_value=0.051, max_value=0.199))
def test_shares_from_5_to_20_percent_need_no_second_look(wet, share):
    assert drying.plausible_dry_share(wet, wet * share)


def test_dry_above_wet_is_refused_in_words():
    with pytest.raises(
        errors.DryAboveWet, match="The dry mass, 340 g, is above the wet mass, 45 g: check both"
    ):
        drying.dry_down_ratio(45, 340)
