"""Which of a farm's records the calculations of keeping take: worked examples that the phone reads too."""

from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harvestlog.calc import brews, drying, errors, jars, loads, rehydration, runs, trials
from harvestlog.calc.estimates import Estimate
from harvestlog.calc.rehydration import Peleg, fit_peleg, moisture_db
from tests.calc.worked import agrees, examples

kept = SimpleNamespace(**(vars(brews) | vars(jars) | vars(loads) | vars(runs) | vars(trials)))
named = SimpleNamespace(**(vars(errors) | vars(drying) | vars(rehydration)))


def load(told):
    return kept.Load(**told | {"parts": [kept.Part(**part) for part in told["parts"]]})


READ: dict[str, Any] = {
    "load": load,
    "loads": lambda loads: [load(each) for each in loads],
    "picks": lambda picks: [kept.DriedPick(**each) for each in picks],
    "ratio": lambda ratio: Estimate(**ratio),
    "curve": lambda curve: Peleg(**curve),
    "brew": lambda brew: kept.Brew(**brew),
}


def run(case):
    read = READ
    if case["function"] == "load_verdict":
        read = READ | {"weighings": lambda all: [kept.LoadWeighing(**each) for each in all]}
    args = {name: read.get(name, lambda value: value)(value) for name, value in case["args"].items()}
    return getattr(kept, case["function"])(**args)


@pytest.mark.parametrize("case", examples("kept"))
def test_worked_example(case):
    if "refuses" in case:
        with pytest.raises(getattr(named, case["refuses"])):
            run(case)
        return
    found = run(case)
    if case["function"] == "two_stage":
        found = {name: getattr(found, name) for name in case["expect"]}
    assert agrees(found, case["expect"], case.get("within", 1e-9)), found


@given(st.floats(0, 20), st.floats(0.05, 5), st.floats(0.1, 1))
def test_a_ratio_read_from_a_curve_does_not_depend_on_the_dried_mushrooms_water(water, k1, k2):
    curve = Peleg(k1=k1, k2=k2, m0=0.05)
    weighings = [(t, 10 * kept.ratio_at(curve, t, 5.0)) for t in (2, 8, 20, 60)]
    one = kept.trial_curve(10, weighings, water)
    other = kept.trial_curve(10, weighings)
    assert kept.ratio_at(one, 12, water) == pytest.approx(kept.ratio_at(other, 12), rel=1e-6)


def test_a_trials_curve_starts_from_the_dried_mass():
    weighings = [(5, 25.0), (10, 31.0), (30, 38.0), (60, 40.0)]
    water = kept.DRIED_WATER_PCT
    by_hand = fit_peleg(
        [0, *(t for t, _ in weighings)],
        [moisture_db(10, 10, water), *(moisture_db(g, 10, water) for _, g in weighings)],
    )
    assert agrees(kept.trial_curve(10, weighings), {"k1": by_hand.k1, "k2": by_hand.k2, "m0": by_hand.m0})
