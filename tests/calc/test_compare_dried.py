"""The price of 100 g dried: how the varieties dried down, alone or in loads, and how much of that nobody weighed alone."""

import math
from dataclasses import replace

import numpy as np
import pytest

from harvestlog.calc.comparison.dried import DriedLoad, all_dried, log_dry_down
from harvestlog.calc.comparison.priors import Priors
from harvestlog.calc.drying import RUN_TO_RUN
from harvestlog.calc.estimates import DryDownPrior
from harvestlog.calc.suppliers import compare
from tests.calc.bought import block, blocks, of


def test_the_dried_price_follows_the_farms_own_dry_down():
    prior = DryDownPrior(
        fresh_water_pct=90, fresh_spread=0.13, final_low_pct=3, final_high_pct=10, basis="", source=""
    )
    priced = blocks("A", *[200] * 12, price=6.0, currency="EUR")
    dried = [
        replace(b, grown=replace(b.grown, picks=[replace(p, dry_g=p.wet_g / 8) for p in b.grown.picks]))
        for b in priced
    ]
    figures = of(compare(dried, Priors(usual_dry_down=prior)), "A")
    ratio = figures.price_per_100_g_dried.value / (figures.price_per_kg_fresh.value / 10)
    assert ratio == pytest.approx(8, rel=0.02)


def load(wet_g, dry_g, variety="grey oyster"):
    return DriedLoad(variety=variety, wet_g=wet_g, dry_g=dry_g)


def ratio_by(blocks_, loads):
    """The dry-down of grey oyster where it is published as ten to one, and farms stray as far from that as runs do apart."""
    prior = DryDownPrior(
        fresh_water_pct=90, fresh_spread=RUN_TO_RUN, final_low_pct=0, final_high_pct=0, basis="", source=""
    )
    dried = all_dried(blocks_, loads)
    mean, _ = log_dry_down(np.ones(1), ["grey oyster"], dried, Priors(usual_dry_down=prior))
    return math.exp(mean[0])


# By hand: one run at 8 to one weighs as much as what is published, the root of 8 * 10. Two that agree let runs lie less
# far apart than was taken, 4 fifths of the variance, and so weigh 5 against 2: the seventh root of 8^5 * 10^2.
ONE_RUN, TWO_RUNS = 8.9443, 8.5266


@pytest.mark.parametrize(
    ("loads", "ratio"),
    [
        ([], 10.0),
        ([load(1600, 200)], ONE_RUN),
        ([load(1600, 200), load(800, 100)], TWO_RUNS),
        ([load(1600, 200, "lion's mane")], 10.0),
        ([load(100, 200)], 10.0),
    ],
    ids=["none", "one", "two", "of another variety", "heavier dried than fresh"],
)
def test_each_load_counts_as_one_run_of_its_variety(loads, ratio):
    assert ratio_by([], loads) == pytest.approx(ratio, rel=1e-4)


def test_loads_and_picks_weighed_alone_count_side_by_side():
    one = block("a", "A", 400, 240)
    picks = [replace(pick, dry_g=pick.wet_g / 8) for pick in one.grown.picks]
    alone = replace(one, grown=replace(one.grown, picks=picks))
    assert ratio_by([alone], [load(1600, 200)]) == pytest.approx(TWO_RUNS, rel=1e-4)


def test_loads_move_the_price_of_dried_mushrooms_and_no_other():
    priced = blocks("A", *[200] * 12, price=6.0, currency="EUR")
    without, with_loads = of(compare(priced), "A"), of(compare(priced, loads=[load(2000, 400)] * 9), "A")
    assert with_loads.price_per_kg_fresh == without.price_per_kg_fresh
    dried = with_loads.price_per_100_g_dried.value
    assert dried == pytest.approx(5 * with_loads.price_per_kg_fresh.value / 10, rel=0.05)


@pytest.mark.parametrize(
    ("weighed_g", "loads", "said"),
    [
        (None, [load(2500, 250)], "All 250 g dried of its variety are shares of loads."),
        (70, [load(2500, 250)], "Of 320 g dried of its variety, 250 g are shares of loads."),
        (70, [], "All 70 g dried of its variety were weighed pick by pick."),
        (None, [], "Nothing of its variety was dried yet: the published water content stands in."),
    ],
)
def test_the_dried_price_says_how_much_of_it_rests_on_shares(weighed_g, loads, said):
    one = block("a", "A", 700, price=6.0, currency="EUR")
    one = replace(one, grown=replace(one.grown, picks=[replace(one.grown.picks[0], dry_g=weighed_g)]))
    sentence = of(compare([one], loads=loads), "A").price_per_100_g_dried.sentence
    assert sentence.endswith(f"(1 block). {said}")
