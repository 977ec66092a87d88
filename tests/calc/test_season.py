"""Sums of a season: worked by hand, and there and back."""

from datetime import date, timedelta
from decimal import Decimal
from random import Random

import pytest

from harvestlog.calc.figures import Grown, Picked
from harvestlog.calc.season import Paid, best_first, in_words, lot_yield, monday_of, season, spent
from harvestlog.calc.yields import Basis

NONE = Basis(kind="none")
FIRST, LAST = date(2026, 1, 1), date(2026, 12, 31)


def block(variety="oyster", *picks, wet_g=1000.0, ended=True):
    return Grown(
        variety=variety,
        basis=NONE,
        wet_g=wet_g,
        ended=ended,
        picks=[
            Picked(day=day, wet_g=grams, flush=flush, dry_g=dry_g)
            for day, grams, flush, dry_g in (pick + (None,) * (4 - len(pick)) for pick in picks)
        ],
    )


@pytest.mark.parametrize(
    ("day", "monday"),
    [
        # ISO 8601-1:2019: 1 January 2027 is a Friday of week 2026-W53, 29 December 2025 the Monday of 2026-W01.
        (date(2027, 1, 1), date(2026, 12, 28)),
        (date(2026, 1, 1), date(2025, 12, 29)),
        (date(2025, 12, 29), date(2025, 12, 29)),
    ],
)
def test_a_week_begins_on_monday_whatever_the_year(day, monday):
    assert monday_of(day) == monday
    assert monday.isocalendar()[:2] == day.isocalendar()[:2]


def test_the_published_split_of_flushes_comes_back_as_shares():
    """648/420/259 g is 48.8/31.7/19.5 % (Agarawal & Topwal 2018, Int J Chem Stud 6(6):1274)."""
    picks = [
        (date(2026, 5, day), grams, n) for n, (day, grams) in enumerate([(1, 648), (12, 420), (25, 259)], 1)
    ]
    shares = season([block("oyster", *picks)], FIRST, LAST).flush_shares
    assert {n: round(100 * share, 1) for n, share in shares.items()} == {1: 48.8, 2: 31.7, 3: 19.5}


@pytest.mark.parametrize("seed", range(20))
def test_weeks_varieties_and_picks_are_one_sum(seed):
    chance = Random(seed)

    def picks():
        return [
            (
                FIRST + timedelta(days=chance.randrange(-30, 400)),
                chance.randrange(1, 5000),
                chance.randrange(1, 5),
            )
            for _ in range(chance.randrange(6))
        ]

    blocks = [block(chance.choice(["oyster", "lion", "reishi"]), *picks()) for _ in range(30)]
    told = season(blocks, FIRST, LAST)
    inside = [pick for each in blocks for pick in each.picks if FIRST <= pick.day <= LAST]
    grams = sum(pick.wet_g for pick in inside)
    assert sum(sum(week.grams.values()) for week in told.weeks) == grams
    assert sum(each.fresh_g for each in told.varieties) == grams
    assert sum(each.picks for each in told.varieties) == len(inside)
    assert sum(told.flush_shares.values()) == pytest.approx(1)
    gaps = {(b.monday - a.monday).days for a, b in zip(told.weeks, told.weeks[1:], strict=False)}
    assert gaps <= {7}
    assert [each.fresh_g for each in told.varieties] == sorted(
        (v.fresh_g for v in told.varieties), reverse=True
    )


def test_dried_grams_are_of_the_picks_that_were_dried_and_none_is_not_zero():
    day = date(2026, 5, 1)
    oyster, lion = season(
        [block("oyster", (day, 500, 1, 50), (day, 400, 1)), block("lion", (day, 300, 1))], FIRST, LAST
    ).varieties
    assert (oyster.dried_g, lion.dried_g) == (50, None)


def test_picks_of_no_grams_have_no_shares():
    told = season([block("oyster", (date(2026, 5, 1), 0.0, 1))], FIRST, LAST)
    assert (told.flush_shares, told.varieties[0].fresh_g) == ({}, 0)
    assert in_words(told, FIRST, LAST, {"oyster": "Grey oyster"}).startswith("0 g from 1 block")


def test_a_failed_block_counts_as_nothing():
    day = date(2026, 5, 1)
    good = [block("oyster", (day, grams, 1)) for grams in (200, 100)]
    told = lot_yield([*good, block(), block(ended=False)])
    assert (told.blocks, told.finished, told.failed, told.unweighed) == (4, 3, 1, 0)
    assert told.g_per_kg_wet
    assert (told.g_per_kg_wet.median, told.g_per_kg_wet.low, told.g_per_kg_wet.high) == (100, 0, 200)


def test_two_finished_blocks_rank_no_lot():
    told = lot_yield([block("oyster", (date(2026, 5, 1), 200, 1)), block(), block(ended=False)])
    assert (told.finished, told.g_per_kg_wet) == (2, None)


def test_a_failed_block_that_nobody_weighed_is_left_out_as_a_good_one_would_be():
    told = lot_yield([block("oyster", (date(2026, 5, 1), 200, 1))] * 3 + [block(wet_g=None)])
    assert (told.finished, told.failed, told.unweighed) == (4, 1, 1)
    assert told.g_per_kg_wet
    assert (told.g_per_kg_wet.low, told.g_per_kg_wet.n) == (200, 3)


def test_lots_that_cannot_be_judged_come_last():
    day = date(2026, 5, 1)
    lots = {
        "growing": lot_yield([block(ended=False)]),
        "failed": lot_yield([block()] * 3),
        "fine": lot_yield([block("oyster", (day, 200, 1))] * 3),
    }
    assert best_first(lots) == ["fine", "failed", "growing"]


def test_money_of_two_currencies_is_never_added_up():
    told = spent([Paid(Decimal("0.10"), "EUR"), Paid(Decimal("0.20"), "EUR"), Paid(None, "GBP")])
    assert [(each.currency, each.total, each.deliveries, each.without_price) for each in told] == [
        ("EUR", Decimal("0.30"), 2, 0),
        ("GBP", Decimal("0.00"), 1, 1),
    ]


def test_the_variety_with_most_grams_is_named_on_top():
    day = date(2026, 5, 1)
    blocks = [block("oyster", (day, 1500, 1)), block("lion", (day, 500, 1))]
    said = in_words(season(blocks, FIRST, LAST), FIRST, LAST, {"oyster": "Grey oyster"})
    assert said == "2.0 kg from 2 blocks in 1 week with picks, 75 % of it Grey oyster."
