"""The next flush: worked examples that the phone reads too, and its pieces against scipy."""

import json
import math
from dataclasses import asdict, replace
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given as with_any
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from harvestlog.calc.crops import PICKED_OUT_DAYS, log_waits, log_yields
from harvestlog.calc.figures import Grown, Picked
from harvestlog.calc.forecast import (
    Crop,
    Flush,
    FlushPrior,
    crop,
    flush_prior,
    next_flush,
    worth_another_soak,
)
from harvestlog.calc.next_value import Next, Usual, next_value
from harvestlog.calc.ranges import Range
from harvestlog.calc.yields import Basis
from tests.calc.worked import EXAMPLES, agrees, examples

CAME = date(2026, 3, 1)
FARM = json.loads((EXAMPLES / "forecast.json").read_text(encoding="utf-8"))["farm_blocks"]["all"]


def day(text):
    return text and date.fromisoformat(text)


def crop_of(block):
    flushes = [Flush(**{**f, "first": day(f["first"]), "last": day(f["last"])}) for f in block["flushes"]]
    soaked = [day(text) for text in block["soaked"]]
    ends = {name: day(block.get(name)) for name in ("watched_to", "since", "pins")}
    return Crop(**{**block, **ends, "flushes": flushes, "soaked": soaked})


def farm_of(case):
    return [crop_of(block) for block in (FARM if case["farm"] == "all" else [FARM[i] for i in case["farm"]])]


def prior_of(case):
    ranges = {"first_days", "rested_days", "soaked_days", "pin_days", "yield_g_per_kg_wet"}
    given: dict[str, Any] = {k: Range(*v) if k in ranges else v for k, v in case["prior"].items()}
    return FlushPrior(**given)


def nothing_of(block, farm):
    """The chance of nothing of a block on which no pins stand."""
    chance = next_flush(block, farm).chance_of_nothing
    assert chance is not None
    return chance


def written(value):
    if isinstance(value, dict):
        return {key: written(each) for key, each in value.items()}
    return value.isoformat() if isinstance(value, date) else value


def check(case, forecast):
    found = forecast(crop_of(case["block"]), farm_of(case), prior_of(case))
    assert agrees(found and written(asdict(found)), case["expect"], 1e-6), found


@pytest.mark.parametrize("case", examples("forecast"))
def test_next_flush(case):
    check(case, next_flush)


@pytest.mark.parametrize("case", examples("forecast", "soaks"))
def test_another_soak(case):
    check(case, worth_another_soak)


@pytest.mark.parametrize("case", examples("forecast", "priors"))
def test_what_is_usual_of_a_species(case):
    prior = flush_prior(
        *(case[name] and tuple(case[name]) for name in ("first_days", "pin_days", "between_days"))
    )
    ranges = {name: getattr(prior, name) for name in case["expect"]}
    found = {name: days and [days.low, days.high] for name, days in ranges.items()}
    assert agrees(found, case["expect"], 1e-8), found


# --- the next value of a row


@pytest.mark.parametrize("freedom", [3, 4, 7.5, 30, 200])
def test_shares_and_values_are_those_of_scipys_student(freedom):
    ours, theirs = Next(centre=1, scale=0.5, freedom=freedom), stats.t(freedom, 1, 0.5)
    for share in (0.02, 0.1, 0.5, 0.9, 0.98):
        assert ours.at(share) == pytest.approx(theirs.ppf(share), abs=5e-4)
    for value in (-1.0, 0.9, 1.0, 1.3, 4.0):
        assert ours.below(value) == pytest.approx(theirs.cdf(value), abs=1e-4)


def test_with_nothing_seen_the_usual_speaks_alone():
    usual = Usual(centre=2.0, between=0.4, within=0.3, worth=4, alike=0.3)
    found = next_value([], [], usual)
    assert found.scale == pytest.approx(0.5)
    assert (found.centre, found.freedom) == (2.0, 4)


def test_given_its_variance_the_next_value_is_the_conditional_of_one_big_gaussian():
    usual = Usual(
        centre=2.0, between=0.4, within=0.3, worth=1e9, alike=0.3
    )  # so much worth: the variance stays
    own, others = [2.5, 2.2], [[1.9], [2.0, 2.3, 1.7]]
    blocks = np.array([0, 0, 1, 2, 2, 2, 0])  # the last one is the next
    same = blocks[:, None] == blocks[None, :]
    whole = 0.4**2 + 0.09 * (0.3 * same + 0.7 * np.eye(7))
    pull = np.linalg.solve(whole[:6, :6], whole[:6, 6])
    seen = np.array([*own, *others[0], *others[1]])
    ours = next_value(own, others, usual)
    assert ours.centre == pytest.approx(2.0 + pull @ (seen - 2.0))
    assert ours.scale == pytest.approx(np.sqrt(whole[6, 6] - pull @ whole[:6, 6]))


@with_any(
    st.lists(st.floats(0.5, 4), max_size=5), st.lists(st.lists(st.floats(0.5, 4), max_size=4), max_size=5)
)
def test_the_next_value_lies_within_what_was_seen_and_what_is_usual(own, others):
    usual = Usual(centre=2.0, between=0.4, within=0.3, worth=4, alike=0.3)
    centre = next_value(own, others, usual).centre
    everything = [2.0, *own, *(y for row in others for y in row)]
    assert min(everything) - 1e-9 <= centre <= max(everything) + 1e-9


# --- behaviours


def a_block(*flushes, watched=30, over=False, wet_g=1000.0, soaked=()):
    """A block with flushes of (first day, grams), each picked on one day, days counted from its arrival."""
    return Crop(
        variety="oyster",
        watched_to=CAME + timedelta(days=watched),
        wet_g=wet_g,
        since=CAME,
        flushes=[
            Flush(number=i, first=CAME + timedelta(days=d), last=CAME + timedelta(days=d), grams=grams)
            for i, (d, grams) in enumerate(flushes, start=1)
        ],
        soaked=[CAME + timedelta(days=d) for d in soaked],
        over=over,
    )


def test_the_first_day_is_never_before_tomorrow_once_a_block_has_waited():
    for watched in (3, 12, 20, 60, 500):
        forecast = next_flush(a_block(watched=watched), [])
        assert forecast.first_day and forecast.first_day > CAME + timedelta(days=watched)  # noqa: PT018


def test_waiting_longer_makes_nothing_more_likely():
    chances = [nothing_of(a_block((14, 100), watched=14 + d), []) for d in (1, 10, 20, 40)]
    assert chances == sorted(chances)
    assert chances[-1] > 0.5


def test_a_farm_that_waits_twice_as_long_is_believed():
    slow = [a_block((14, 100), (36, 70), over=True) for _ in range(8)]
    days = next_flush(a_block((14, 100), watched=14), slow).days
    assert days
    assert days.value == pytest.approx(22, abs=2.5)
    assert days.basis == "your 8 flushes"


def test_few_flushes_of_its_own_share_the_basis_with_what_is_usual():
    forecast = next_flush(a_block((14, 100), watched=14), [a_block((14, 100), (36, 70), over=True)])
    assert forecast.basis == "your 1 flush and the usual range"


def test_a_heavy_first_flush_lets_a_heavy_second_one_be_expected():
    farm = [a_block((14, 100), (25, 70), over=True) for _ in range(6)]
    light, heavy = (next_flush(a_block((14, g), watched=20), farm).grams for g in (60, 200))
    assert light
    assert heavy
    assert light.value < 0.75 * heavy.value


def test_where_second_flushes_run_high_a_high_one_is_expected():
    farm = [a_block((14, 100), (25, 150), over=True) for _ in range(10)]
    grams = next_flush(a_block((14, 100), watched=20), farm).grams
    assert grams
    assert grams.value == pytest.approx(150, rel=0.15)


def test_blocks_that_end_after_one_flush_make_another_unlikely():
    farm = [a_block((14, 100), over=True) for _ in range(10)]
    assert nothing_of(a_block((14, 100), watched=14), farm) > 0.6


def test_the_farms_list_may_hold_the_block_itself():
    block = a_block((14, 100), watched=20)
    farm = [a_block((14, 90), (25, 60), over=True)]
    assert next_flush(block, [block, *farm]) == next_flush(block, farm)


def test_expected_grams_of_a_soak_hold_the_chance_of_nothing():
    farm = [a_block((14, 100), (25, 70), over=True) for _ in range(4)]
    farm += [a_block((14, 100), over=True) for _ in range(4)]
    soak = worth_another_soak(a_block((14, 100), watched=20), farm)
    assert soak
    assert soak.grams
    assert soak.grams.low == 0
    assert 0.3 * 70 < soak.grams.value < 0.75 * 70


def test_a_new_block_gives_what_the_farms_finished_ones_gave_for_each_day():
    farm = [a_block((14, 100), (24, 50), over=True), a_block((16, 90), over=True), a_block((12, 500))]
    soak = worth_another_soak(a_block((14, 100), watched=20), farm)
    assert soak
    assert soak.new_block_g_per_day == pytest.approx((150 + 90) / (24 + 16))


def test_waits_after_a_soak_are_kept_apart():
    soaked = a_block((14, 100), (30, 70), soaked=(20,))
    assert log_waits(soaked, "soaked") == [pytest.approx(math.log(10))]
    assert log_waits(soaked, "rested") == []


def test_the_last_flush_has_a_mass_once_it_is_picked_out():
    block = a_block((14, 100), watched=14 + PICKED_OUT_DAYS)
    assert log_yields(block) == [(1, math.log(100))]
    assert log_yields(replace(block, watched_to=block.watched_to - timedelta(days=1))) == []


def test_picks_become_flushes_and_picks_of_0_g_do_not():
    picks = [
        Picked(day=CAME + timedelta(days=d), wet_g=g, flush=f)
        for d, g, f in ((30, 50, 2), (14, 60, 1), (16, 40, 1), (40, 0, 3))
    ]
    grown = Grown(variety="oyster", basis=Basis(kind="none"), wet_g=1000, received=CAME, picks=picks)
    assert crop(grown, CAME + timedelta(days=50)) == Crop(
        variety="oyster",
        watched_to=CAME + timedelta(days=50),
        wet_g=1000,
        since=CAME,
        flushes=[
            Flush(number=1, first=CAME + timedelta(days=14), last=CAME + timedelta(days=16), grams=100),
            Flush(number=2, first=CAME + timedelta(days=30), last=CAME + timedelta(days=30), grams=50),
        ],
    )


any_block = st.builds(
    lambda flushes, watched, over, wet_g, soaked: a_block(
        *sorted(flushes), watched=watched, over=over, wet_g=wet_g, soaked=soaked
    ),
    flushes=st.lists(st.tuples(st.integers(0, 200), st.floats(0.01, 1e5)), max_size=6),
    watched=st.integers(0, 3000),
    over=st.booleans(),
    wet_g=st.none() | st.floats(0.1, 1e5),
    soaked=st.lists(st.integers(0, 250), max_size=3),
)


@with_any(any_block, st.lists(any_block, max_size=6))
def test_whatever_the_records_every_number_is_one_and_every_range_in_order(block, farm):
    forecast, soak = next_flush(block, farm), worth_another_soak(block, farm)
    assert 0 <= nothing_of(block, farm) <= 1
    for likely in (forecast.days, forecast.grams, soak and soak.days):
        if likely:
            assert 0 <= likely.low <= likely.value <= likely.high < math.inf
