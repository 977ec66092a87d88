"""Dry-down: food tables' water first, then there and back; constant weight; a mixed load shared out."""

import json
import math
from dataclasses import replace
from itertools import pairwise, permutations
from types import SimpleNamespace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from harvestlog.calc import drying, errors
from harvestlog.calc.estimates import DryDownPrior, published_prior, student_half_width
from tests.calc.worked import EXAMPLES, agrees, check_call, examples

waters = st.floats(min_value=0, max_value=99)
grams = st.floats(min_value=0.1, max_value=1e5)
runs = st.lists(st.tuples(st.floats(100, 5000), st.floats(0.05, 0.2)), max_size=8)
named = SimpleNamespace(**(vars(errors) | vars(drying)))
OYSTER = published_prior("pleurotus-ostreatus")


def weighed(shares):
    return [(wet, wet * share) for wet, share in shares]


@pytest.mark.parametrize("case", examples("drying"))
def test_worked_example(case):
    check_call(case, vars(drying), errors)


@pytest.mark.parametrize("case", examples("drying", "weighings"))
def test_constant_weight(case):
    check_call(case, vars(drying), named)


@pytest.mark.parametrize("case", examples("drying", "loads"))
def test_mixed_load(case):
    check_call(case, vars(drying), errors)


@pytest.mark.parametrize("case", examples("drying", "estimates"))
def test_dry_down_estimate(case):
    prior = published_prior(case["species"])
    if "refuses" in case:
        with pytest.raises(getattr(errors, case["refuses"])):
            drying.estimate_dry_down(case["history"], prior)
    else:
        estimate = drying.estimate_dry_down(case["history"], prior)
        assert agrees(estimate, case["expect"], case["within"]), estimate


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


def test_published_dry_down_of_every_kind_lies_inside_its_first_interval():
    """dry_down_from_water of these examples is the published table's (USDA Standard Reference)."""
    cases = json.loads((EXAMPLES / "drying.json").read_text(encoding="utf-8"))["cases"]
    keys = {"oyster": "pleurotus-ostreatus", "shiitake": "lentinula-edodes", "enoki": "flammulina-filiformis"}
    checked = 0
    for case in cases:
        kind = case["name"].split(" dried to")[0]
        if kind in keys and " dried to" in case["name"]:
            estimate = drying.estimate_dry_down([], published_prior(keys[kind]))
            assert estimate.low < case["expect"] < estimate.high
            checked += 1
    assert checked == 9


@pytest.mark.parametrize(
    "logs", [[0.0], [0.4], [-0.3, 0.2], [0.1, 0.1, 0.1], [-0.5, 0.6, 1.4, 0.2], [0.3, 0.25] * 5]
)
def test_estimate_is_the_posterior_added_up_over_a_grid(logs):
    """The same normal model, the learnt spread put in, by brute force."""
    history = [(1000 * math.exp(log), 125) for log in logs]
    own = [math.log(wet / dry) for wet, dry in history]
    centre = (math.log(97 / 10.82) + math.log(90 / 10.82)) / 2
    between2 = 0.13**2 + math.log(97 / 90) ** 2 / 12
    mean = sum(own) / len(own)
    within2 = (4 * 0.08**2 + sum((x - mean) ** 2 for x in own)) / (4 + len(own) - 1)
    low, high = min([*own, centre]) - 1, max([*own, centre]) + 1
    grid = [low + (high - low) * i / 1500 for i in range(1501)]
    squares = [(at - centre) ** 2 / between2 + sum((x - at) ** 2 for x in own) / within2 for at in grid]
    weights = [math.exp((min(squares) - each) / 2) for each in squares]
    posterior = sum(w * at for w, at in zip(weights, grid, strict=True)) / sum(weights)
    value = drying.estimate_dry_down(history, OYSTER).value
    assert math.isclose(value, max(1.0, math.exp(posterior)), rel_tol=1e-4)


@pytest.mark.parametrize(
    ("freedom", "off_by"), [(3, 0.002), (4, 3e-4), (5, 1e-4), (8, 1e-5), (13, 1e-5), (1000, 1e-5)]
)
def test_student_interval_holds_nine_tenths(freedom, off_by):
    def density(x):
        log = math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2) - math.log(freedom * math.pi) / 2
        return math.exp(log - (freedom + 1) / 2 * math.log1p(x * x / freedom))

    half = student_half_width(freedom)
    steps = [half * i / 2000 for i in range(2001)]
    inside = 2 * sum((b - a) * (density(a) + density(b)) / 2 for a, b in pairwise(steps))
    assert math.isclose(inside, 0.9, abs_tol=off_by)


@given(runs)
def test_estimate_lies_between_the_published_and_ones_own(shares):
    history = weighed(shares)
    published = drying.estimate_dry_down([], OYSTER).value
    ratios = [wet / dry for wet, dry in history]
    estimate = drying.estimate_dry_down(history, OYSTER)
    within = 1 + 1e-9
    assert min([published, *ratios]) / within <= estimate.value <= max([published, *ratios]) * within
    assert 1 <= estimate.low < estimate.value < estimate.high
    assert estimate.n == len(history)


@given(runs, st.randoms(use_true_random=False))
def test_order_of_the_runs_does_not_matter(shares, shuffler):
    history = weighed(shares)
    shuffled = shuffler.sample(history, len(history))
    one, other = (drying.estimate_dry_down(each, OYSTER) for each in (history, shuffled))
    assert agrees(one, vars(other), 1e-9)


def test_more_runs_alike_narrow_the_interval_around_them():
    widths = []
    for n in (0, 1, 3, 10, 100):
        estimate = drying.estimate_dry_down([(1000, 100)] * n, OYSTER)
        widths.append(estimate.high / estimate.low)
    assert widths == sorted(widths, reverse=True)
    assert math.isclose(estimate.value, 10, rel_tol=0.001)


def test_a_prior_upside_down_is_refused():
    with pytest.raises(
        errors.RangeUpsideDown, match=r"The lowest moisture, 10\.5 %, is above the highest, 3\.5 %"
    ):
        drying.estimate_dry_down([], replace(OYSTER, final_low_pct=10.5, final_high_pct=3.5))


def test_a_prior_without_a_spread_is_refused():
    prior = DryDownPrior(
        fresh_water_pct=90, fresh_spread=0, final_low_pct=3, final_high_pct=10, basis="", source=""
    )
    with pytest.raises(errors.IsZero, match="spread"):
        drying.estimate_dry_down([], prior)


@given(st.dictionaries(st.text(max_size=3), grams, min_size=1, max_size=6), st.floats(1e-6, 1))
def test_shares_of_a_load_sum_to_exactly_what_came_out_in_any_order(wet, share):
    dry_g = share * sum(wet.values())
    assume(0 < dry_g <= sum(wet.values()))
    dry = drying.allocate_dry_g(wet, dry_g)
    assert dry.keys() == wet.keys()
    assert {sum(order) for order in permutations(dry.values())} == {dry_g}


@given(st.dictionaries(st.text(max_size=3), grams, min_size=1, max_size=12), st.floats(1e-3, 1))
def test_each_pick_dries_down_alike(wet, share):
    dry_g = share * sum(wet.values())
    assume(dry_g <= sum(wet.values()))
    for pick, dry in drying.allocate_dry_g(wet, dry_g).items():
        assert math.isclose(dry, wet[pick] * share, rel_tol=1e-9, abs_tol=1e-11 * dry_g)


@given(st.lists(st.floats(1, 5000), max_size=6), st.sampled_from([0.1, 1, 5]))
def test_constant_only_when_the_last_two_weighings_agree(masses, step):
    try:
        verdict = drying.constant_weight(masses, step)
    except drying.WeightRises:
        assert masses[-1] > masses[-2] + step
        return
    if verdict.verdict == "constant":
        assert abs(masses[-2] - masses[-1]) <= 1.001 * max(step, masses[-1] / 200)
    assert "dry enough to seal" not in verdict.says


def test_a_rise_is_asked_back_in_words():
    with pytest.raises(drying.WeightRises, match="The load weighs 131 g, above the 124 g it weighed before"):
        drying.constant_weight([340, 124, 131], 1)
