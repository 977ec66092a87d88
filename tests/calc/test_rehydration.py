"""Soaking back: ratios printed in papers, Peleg's curve on series of known constants, fresh and dried there and back."""

import math
from itertools import pairwise
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harvestlog.calc import errors, rehydration
from harvestlog.calc.estimates import Estimate
from harvestlog.calc.rehydration import NoPelegCurve, Peleg, fit_peleg
from tests.calc.worked import check_call, examples

named = SimpleNamespace(**(vars(errors) | vars(rehydration)))
as_written = {
    "peleg_moisture_db": lambda curve, time_min: rehydration.peleg_moisture_db(Peleg(**curve), time_min),
    "soak_minutes": lambda curve: rehydration.soak_minutes(Peleg(**curve)),
    "dry_g_for_fresh": lambda fresh_g, ratio: rehydration.dry_g_for_fresh(fresh_g, Estimate(**ratio)),
    "fresh_g_for_dry": lambda dry_g, ratio: rehydration.fresh_g_for_dry(dry_g, Estimate(**ratio)),
}
curves = st.builds(Peleg, k1=st.floats(0.05, 30), k2=st.floats(0.1, 1), m0=st.floats(0, 0.15))
times = st.lists(st.integers(1, 240), min_size=3, max_size=12, unique=True)
ratios = st.builds(
    lambda low, up, more, n: Estimate(value=low + up, low=low, high=low + up + more, n=n, basis="yours"),
    st.floats(1, 20),
    st.floats(0, 5),
    st.floats(0, 5),
    st.integers(0, 50),
)


@pytest.mark.parametrize("case", examples("rehydration"))
def test_worked_example(case):
    check_call(case, vars(rehydration) | as_written, named)


@given(curves, times)
def test_a_curve_is_found_again_from_its_own_points(curve, minutes):
    readings = [rehydration.peleg_moisture_db(curve, minute) for minute in minutes]
    found = fit_peleg(minutes, readings, curve.m0)
    assert math.isclose(found.k1, curve.k1, rel_tol=1e-6, abs_tol=1e-6)
    assert math.isclose(found.k2, curve.k2, rel_tol=1e-6)


@given(curves, times)
def test_weighed_dry_first_gives_the_same_curve(curve, minutes):
    readings = [rehydration.peleg_moisture_db(curve, minute) for minute in minutes]
    assert fit_peleg([0, *minutes], [curve.m0, *readings]) == fit_peleg(minutes, readings, curve.m0)


@given(times, st.lists(st.floats(0.2, 8), min_size=12, max_size=12))
def test_any_curve_found_rises_and_levels_off(minutes, readings):
    try:
        curve = fit_peleg(minutes, readings[: len(minutes)], 0.1)
    except NoPelegCurve:
        return
    drawn = [rehydration.peleg_moisture_db(curve, minute) for minute in range(0, 1000, 10)]
    assert curve.k1 > 0
    assert curve.k2 > 0
    assert all(later >= earlier - 1e-9 for earlier, later in pairwise(drawn))
    assert drawn[-1] <= curve.m0 + 1 / curve.k2 + 1e-9


def test_weighings_a_little_off_move_the_curve_little():
    """Five hundredths up and down in turn, about what a drained weighing is off by."""
    curve = Peleg(k1=0.2, k2=0.14, m0=0.03)
    minutes = [1, 2, 5, 10, 20, 30, 60]
    readings = [
        rehydration.peleg_moisture_db(curve, minute) + (0.05 if i % 2 else -0.05)
        for i, minute in enumerate(minutes)
    ]
    found = fit_peleg(minutes, readings, curve.m0)
    assert math.isclose(found.k1, 0.2, rel_tol=0.1)
    assert math.isclose(found.k2, 0.14, rel_tol=0.02)


@given(curves)
def test_nine_tenths_of_the_water_are_in_when_the_soak_is_over(curve):
    taken_up = rehydration.peleg_moisture_db(curve, rehydration.soak_minutes(curve)) - curve.m0
    assert math.isclose(taken_up, 0.9 / curve.k2, rel_tol=1e-9)


@given(st.floats(1, 1e5), ratios)
def test_dried_for_fresh_there_and_back(fresh, ratio):
    dry = rehydration.dry_g_for_fresh(fresh, ratio)
    assert math.isclose(rehydration.fresh_g_for_dry(dry.value, ratio).value, fresh, rel_tol=1e-12)
    assert math.isclose(dry.low * ratio.high, fresh, rel_tol=1e-12)
    assert math.isclose(dry.high * ratio.low, fresh, rel_tol=1e-12)
    assert dry.low <= dry.value <= dry.high
    assert (dry.n, dry.basis) == (ratio.n, ratio.basis)


@given(st.floats(1, 1000), st.floats(1, 9), st.floats(0, 20))
def test_water_taken_up_and_moisture_tell_the_same(dry, ratio, water_pct):
    before = rehydration.moisture_db(dry, dry, water_pct)
    after = rehydration.moisture_db(dry * ratio, dry, water_pct) if ratio > 1 else before
    dry_matter = dry * (1 - water_pct / 100)
    assert math.isclose((after - before) * dry_matter, rehydration.water_taken_up_g(dry, ratio), abs_tol=1e-6)


def test_a_curve_that_does_not_level_off_is_refused_in_words():
    with pytest.raises(NoPelegCurve, match=r"does not level off .*: soak longer"):
        fit_peleg([5, 10, 20, 30], [0.5, 1.2, 3.0, 6.0], 0.03)


def test_water_in_by_the_first_weighing_is_refused_in_words():
    with pytest.raises(NoPelegCurve, match=r"by the first weighing .*: weigh sooner"):
        fit_peleg([10, 20, 30, 60], [6.9, 6.8, 6.7, 6.6], 0.03)
