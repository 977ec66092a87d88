"""The comparison of suppliers and the forecast of flushes against the truth of 1,000 simulated farms each.

Run: pytest -s tests/bench/compare.py (about three minutes). Prints seeds, targets, and what leaving a part out costs.
The farms are tests/calc/simulated.py's; how they are judged stands in tests/calc/judged.py.
"""

import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from functools import partial
from random import Random
from statistics import fmean
from time import perf_counter

import pytest

from harvestlog.calc.comparison.failures import FailurePrior
from harvestlog.calc.comparison.priors import Priors
from harvestlog.calc.suppliers import compare, supplier_history
from tests.calc import judged, simulated

FARMS, FIRST_SEED = 1000, 20260401
SEEDS = range(FIRST_SEED, FIRST_SEED + FARMS)
EACH_ALONE = FailurePrior(failed=500, fine=500, alike=(2.0, 2.001))  # Beta(1, 1), whatever the others did


def with_priors(alter: Callable[[Priors], Priors]) -> judged.Answer:
    return lambda farm: compare(farm.blocks, alter(farm.priors), farm.today)


def scaled(**scales: float) -> judged.Answer:
    return with_priors(lambda priors: replace(priors, scales=replace(priors.scales, **scales)))


def not_pooled(priors: Priors) -> Priors:
    return replace(priors, scales=replace(priors.scales, between=10.0), failures=EACH_ALONE)


LEFT_OUT: dict[str, judged.Answer] = {
    "as built": judged.as_built,
    "no pooling: each supplier alone": with_priors(not_pooled),
    "no variety adjustment": judged.changed(judged.of_one_variety),
    "unfinished counted as finished": judged.changed(judged.all_ended),
    "unfinished left out": judged.changed(judged.only_ended),
    "Gaussian noise": scaled(tail_df=1000.0),
    "no lots or cells": scaled(lots=0.002),
}


def slipped(farm: simulated.Farm) -> simulated.Farm:
    """One picked block of the farm was typed ten times too heavy."""
    at = Random(farm.seed).choice([i for i, b in enumerate(farm.blocks) if b.grown.picks])
    life = farm.lives[at]
    grown = life.bought.grown
    heavy = replace(grown, picks=[replace(pick, wet_g=10 * pick.wet_g) for pick in grown.picks])
    lives = [*farm.lives]
    lives[at] = replace(life, bought=replace(life.bought, grown=heavy))
    return replace(farm, lives=lives)


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Iterator[Callable[[str], object]]:
    with capsys.disabled():
        sys.stdout.write("\n")
        yield lambda line: sys.stdout.write(f"{line}\n")


@pytest.fixture(scope="module")
def farms() -> list[simulated.Farm]:
    return [simulated.farm(seed) for seed in SEEDS]


def test_two_suppliers_of_plausible_farms(farms, say):
    say(f"{FARMS} plausible farms, seeds from {FIRST_SEED}, one pair of suppliers each")
    say("wanted: cover 88-92 %, error at most 0.60 of plain, wrong at most 5 %")
    found = judged.score(farms)
    say(str(found))
    assert 0.88 <= found.coverage <= 0.92
    assert found.ratio <= 0.60
    assert found.wrong <= 0.05


def test_two_suppliers_of_unruly_farms(say):
    say(f"{FARMS} unruly farms, seeds from {FIRST_SEED}; wanted: cover at least 85 %")
    found = judged.score(simulated.unruly_farm(seed) for seed in SEEDS)
    say(str(found))
    assert found.coverage >= 0.85


def test_what_each_part_buys(farms, say):
    say(f"The same plausible farms, seeds from {FIRST_SEED}, with a part left out")
    for name, answer in LEFT_OUT.items():
        say(f"{name:32} {judged.score(farms, answer)}")
    say("One block of each farm typed ten times too heavy")
    wrong = [slipped(farm) for farm in farms if any(block.grown.picks for block in farm.blocks)]
    for name in ("as built", "Gaussian noise"):
        say(f"{name:32} {judged.score(wrong, LEFT_OUT[name])}")


def test_next_flushes(farms, say):
    say(f"Forecasts, plausible farms, seeds from {FIRST_SEED}; wanted: 80 % ranges cover 76-84 %")
    found = [(farm.seed, judged.foretold(farm)) for farm in farms]
    every = [each for _, rows in found for each in rows]
    came = [(seed, rows) for seed, all_rows in found if (rows := [r for r in all_rows if not r.nothing])]
    one = [Random(seed).choice(rows) for seed, rows in came]
    days, grams = held(one)
    say(f"one block of each farm: days {days:.1%}, grams {grams:.1%} of {len(one)}")
    for low, high in ((0, 1), (1, 4), (4, 10), (10, 1000)):
        some = [r for _, rows in came for r in rows if low <= r.n < high]
        say(
            "all blocks, own flushes {:2} to {:3}: days {:.1%}, grams {:.1%} of {}".format(
                low, high - 1, *held(some), len(some)
            )
        )
    for tenth in (0, 2, 4, 6, 8):
        some = [r for r in every if tenth <= min(10 * r.said_nothing, 9.99) < tenth + 2]
        said, was = fmean(r.said_nothing for r in some), fmean(r.nothing for r in some)
        say(f"chance of nothing said {said:.2f}, came true {was:.2f} of {len(some)}")
    assert 0.76 <= days <= 0.84
    assert 0.76 <= grams <= 0.84


def held(rows: Iterable[judged.Foretold]) -> tuple[float, float]:
    rows = list(rows)
    return fmean(bool(r.day_held) for r in rows), fmean(bool(r.grams_held) for r in rows)


def test_time_for_500_blocks(say):
    say(
        "500 blocks from 8 suppliers; wanted: under 0.3 s on an idle core. Floor: the plain history of the same blocks"
    )
    for seed in (FIRST_SEED, FIRST_SEED + 1, FIRST_SEED + 2):
        farm = simulated.farm(seed, blocks=500, suppliers=8)
        blocks = farm.blocks
        took = best_of_five(partial(compare, blocks, farm.priors, farm.today))
        floor = best_of_five(partial(supplier_history, [block.grown for block in blocks]))
        say(f"seed {seed}: {took * 1000:.0f} ms, floor {floor * 1000:.1f} ms, ratio {took / floor:.0f}")


def best_of_five(act: Callable[[], object]) -> float:
    times = []
    for _ in range(5):
        start = perf_counter()
        act()
        times.append(perf_counter() - start)
    return min(times)
