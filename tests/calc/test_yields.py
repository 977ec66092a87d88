"""Yields: the published rows first, then there and back."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from harvestlog.calc import errors, yields
from tests.calc.worked import check_call, examples

masses = st.floats(min_value=0.1, max_value=1e6)
harvests = st.floats(min_value=0, max_value=1e6)
moistures = st.floats(min_value=0, max_value=99)


@pytest.mark.parametrize("case", examples("yields"))
def test_worked_example(case):
    check_call(case, vars(yields), errors)


@given(st.dictionaries(st.integers(1, 20), harvests, min_size=1))
def test_shares_sum_to_one(picks):
    assume(sum(picks.values()) > 0)
    shares = yields.flush_shares(picks)
    assert shares.keys() == picks.keys()
    assert math.isclose(sum(shares.values()), 1)


@given(harvests, masses, moistures, moistures, st.floats(0, 1))
def test_range_holds_the_efficiency_at_any_moisture_between(fresh, wet, one, other, part):
    low_pct, high_pct = sorted((one, other))
    between = min(high_pct, low_pct + part * (high_pct - low_pct))
    low, high = yields.biological_efficiency_range_pct(fresh, wet, low_pct, high_pct)
    inside = yields.biological_efficiency_pct(fresh, yields.dry_substrate_g(wet, between))
    assert low <= inside <= high


@given(harvests, masses)
def test_efficiency_there_and_back(fresh, dry):
    back = yields.biological_efficiency_pct(fresh, dry) * dry / 100
    assert math.isclose(back, fresh, rel_tol=1e-12, abs_tol=1e-12)


@given(harvests, masses, moistures)
def test_efficiency_is_the_wet_yield_over_the_dry_part(fresh, wet, moisture):
    per_kg = yields.yield_g_per_kg_wet(fresh, wet)
    efficiency = yields.biological_efficiency_pct(fresh, yields.dry_substrate_g(wet, moisture))
    assert math.isclose(efficiency, per_kg / 10 / (1 - moisture / 100), rel_tol=1e-9, abs_tol=1e-9)


@given(harvests, masses, moistures, moistures)
def test_measured_basis_lies_in_the_assumed_range_it_ends(fresh, wet, one, other):
    low_pct, high_pct = sorted((one, other))
    assumed = yields.block_efficiency(
        fresh,
        yields.Basis(kind="assumed", wet_g=wet, moisture_low_pct=low_pct, moisture_high_pct=high_pct),
    )
    measured = yields.block_efficiency(fresh, yields.Basis(kind="measured", wet_g=wet, moisture_pct=low_pct))
    assert assumed is not None
    assert measured == (assumed[0], assumed[0])


def test_message_shows_the_value_and_what_to_do():
    with pytest.raises(errors.MoistureOutOfRange, match="The moisture is 140 %: it lies from 0"):
        yields.dry_substrate_g(1000, 140)


def test_a_whole_number_too_big_to_calculate_with_is_refused():
    with pytest.raises(errors.NotANumber, match="too many digits"):
        yields.dry_substrate_g(10**400, 60)
