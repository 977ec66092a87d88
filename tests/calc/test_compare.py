"""What a comparison of suppliers says, from thin and odd records to plain ones."""

import math
from dataclasses import asdict, replace
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harvestlog.calc import errors
from harvestlog.calc.comparison.answer import Figure
from harvestlog.calc.comparison.priors import Priors
from harvestlog.calc.comparison.sentences import of_prices
from harvestlog.calc.figures import Picked
from harvestlog.calc.ranges import Range
from harvestlog.calc.suppliers import compare
from harvestlog.calc.yields import Basis
from tests.calc.bought import CAME, block, blocks, of


def numbers(value):
    """Every number anywhere in a result."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, (list, tuple)):
        return [each for part in value for each in numbers(part)]
    return [value] if isinstance(value, float) else []


# --- verdicts


def test_a_clear_difference_is_said():
    good, poor = (
        blocks("Fen End", 300, 310, 290, 305, 295, 300),
        blocks("Moss Lane", 150, 155, 145, 150, 152, 148),
    )
    comparison = compare([*good, *poor])
    (pair,) = comparison.pairs
    assert pair.verdict == "first"
    assert comparison.sentence.startswith("Fen End gives more than Moss Lane: the chance is 9")


def test_no_difference_cannot_be_told():
    comparison = compare([*blocks("Fen End", 200, 230, 180, 210), *blocks("Moss Lane", 205, 225, 190, 200)])
    assert comparison.pairs[0].verdict == "cannot tell yet"
    assert comparison.sentence.startswith("Cannot tell yet: ")


def test_two_blocks_each_are_too_early_however_far_apart():
    comparison = compare([*blocks("Fen End", 400, 410), *blocks("Moss Lane", 50, 55)])
    assert comparison.pairs[0].verdict == "cannot tell yet"
    assert comparison.sentence == "Too early to tell: 2 blocks each from Fen End and Moss Lane; both need 3."


def test_the_other_way_round_says_the_same():
    good, poor = [300, 310, 290, 305, 200], [150, 155, 145, 150, 152]
    one = compare([*blocks("A", *good), *blocks("B", *poor)]).pairs[0]
    other = compare([*blocks("A", *poor), *blocks("B", *good)]).pairs[0]
    assert one.chance == pytest.approx(1 - other.chance, abs=0.005)
    assert (one.times.value or 0) * (other.times.value or 0) == pytest.approx(1, rel=0.01)


def test_suppliers_without_a_variety_in_common_are_marked():
    comparison = compare([*blocks("A", 200, 210, 190), *blocks("B", 200, 190, 210, variety="shiitake")])
    assert not comparison.pairs[0].alike
    assert comparison.sentence.endswith("They share no variety: this leans on what is usual of each.")


def test_order_of_the_blocks_does_not_matter():
    every = [*blocks("A", 300, 280, 0, 290), *blocks("B", 200, 210, 190), *blocks("C", 250, ended=False)]
    one, other = compare(every), compare(every[::-1])
    assert numbers([asdict(p) for p in one.pairs]) == pytest.approx(numbers([asdict(p) for p in other.pairs]))


# --- varieties


def test_a_poor_variety_is_not_held_against_its_supplier():
    ranges = Priors(yield_g_per_kg_wet={"oyster": Range(200, 300), "reishi": Range(50, 80)})
    both = blocks("Both", 250, 245, 255, variety="oyster") + [
        block(f"r{i}", "Both", g, variety="reishi", lot="r") for i, g in enumerate((62, 65, 60))
    ]
    only = [block(f"o{i}", "Only reishi", g, variety="reishi") for i, g in enumerate((64, 61, 63, 62))]
    pair = compare([*both, *only], ranges).pairs[0]
    assert pair.times.value == pytest.approx(1, abs=0.1)
    assert pair.verdict == "cannot tell yet"


# --- unfinished blocks


def test_an_unfinished_block_is_brought_forward_never_taken_as_low():
    finished = blocks("A", 200, 210, 190, 205, 195)
    growing = block("g", "A", 120, ended=False)
    comparison = compare([*finished, growing], today=CAME + timedelta(days=24))
    behind = of(comparison, "A").behind[-1]
    assert (behind.counted, behind.so_far) == ("brought forward", pytest.approx(120))
    assert behind.taken_as == pytest.approx(200, rel=0.05)
    assert of(comparison, "A").typical.unfinished == 1


def test_blocks_that_all_gave_the_published_split_bring_a_first_flush_forward_to_the_published_total():
    """648/420/259 g, of oyster on straw: Agarawal & Topwal 2018, Int J Chem Stud 6(6):1274."""
    finished = [block(f"b{i}", "A", 648, 420, 259, wet_g=3000) for i in range(12)]
    growing = block("g", "A", 648, ended=False, wet_g=3000)
    behind = of(compare([*finished, growing], today=CAME + timedelta(days=22)), "A").behind[-1]
    assert behind.taken_as == pytest.approx(
        1327 / 3, rel=0.08
    )  # a quarter of the prior is left after 12 blocks


def test_a_flush_still_being_picked_is_not_counted_yet():
    growing = block("g", "A", 120, ended=False)
    early, later = (compare([growing], today=CAME + timedelta(days=days)) for days in (20, 22))
    assert of(early, "A").behind[0].counted == "too early"
    assert of(later, "A").behind[0].counted == "brought forward"


def test_a_block_silent_for_six_weeks_has_had_its_time():
    growing = block("g", "A", 120, ended=False)
    comparison = compare([growing], today=CAME + timedelta(days=14 + 42))
    assert of(comparison, "A").behind[0].counted == "whole"
    assert of(comparison, "A").finished == 1


def test_a_growing_block_without_a_pick_changes_no_yield():
    known = [*blocks("A", 200, 210, 190), *blocks("B", 150, 160, 170)]
    before = compare(known)
    after = compare([*known, block("g", "A", ended=False)], today=before.day)
    assert before.pairs == after.pairs
    assert of(after, "A").unfinished == 1


# --- failures


def test_failed_blocks_lower_what_a_block_brings_and_not_what_a_giving_one_does():
    every = [*blocks("A", 200, 210, 190, 205, 195, 200), *blocks("B", 200, 210, 190, 0, 0, 0)]
    a, b = (of(compare(every), name) for name in ("A", "B"))
    assert b.typical.value == pytest.approx(a.typical.value, rel=0.03)
    assert b.expected.value < 0.85 * a.expected.value
    assert b.failures.sentence.startswith("3 of 6 blocks gave nothing; in the long run likely ")


def test_all_failed_is_said_in_words():
    comparison = compare(blocks("A", 0, 0, 0))
    figures = of(comparison, "A")
    assert figures.expected.value is None
    assert figures.expected.sentence == "3 of 3 blocks gave nothing, and none has finished a flush."
    assert figures.failures.value > 0.3
    assert comparison.sentence == "Nothing was picked from 3 blocks yet: there is no yield to compare."
    assert comparison.pairs == ()


def test_a_supplier_whose_blocks_all_failed_loses_to_one_whose_blocks_give():
    comparison = compare([*blocks("A", 200, 210, 190, 200, 205, 195), *blocks("B", 0, 0, 0, 0, 0, 0)])
    assert comparison.pairs[0].verdict == "first"


# --- days to first harvest


def test_days_wait_for_blocks_not_yet_picked_and_leave_out_failed_ones():
    picked = [block(f"p{day}", "A", 100, first=day) for day in (10, 12, 14, 16, 18)]
    every = [*picked, block("g", "A", ended=False), block("f", "A")]
    figure = of(compare(every, today=CAME + timedelta(days=30)), "A").days_to_first_harvest
    assert (figure.value, figure.n, figure.unfinished) == (14, 6, 1)
    assert figure.sentence.endswith("(5 blocks picked, 1 still waiting).")


def test_few_first_harvests_give_no_interval():
    figure = of(compare(blocks("A", 200, 210, 190, 205)), "A").days_to_first_harvest
    assert (figure.value, figure.low, figure.high) == (14, None, None)
    assert (
        figure.sentence
        == "Half had their first harvest by day 14; too few to say how sure that is (4 blocks picked)."
    )


# --- unit


def test_where_every_dry_mass_is_known_biological_efficiency_is_compared():
    """1248.3 g from 1.5 kg dry, printed 83.22 %: Jatwa et al. 2016, J Pure Appl Microbiol 10(4):2783."""
    stated = Basis(kind="stated", dry_g=1500)
    comparison = compare([block("b", "A", 800, 448.3, wet_g=None, basis=stated)])
    assert comparison.unit == "efficiency_pct"
    assert of(comparison, "A").behind[0].so_far == pytest.approx(83.22, abs=0.005)


def test_one_assumed_moisture_and_grams_per_kg_are_compared():
    stated = Basis(kind="stated", dry_g=400)
    assumed = Basis(kind="assumed", wet_g=1000, moisture_low_pct=60, moisture_high_pct=70)
    every = [block("s", "A", 200, basis=stated), block("a", "A", 200, basis=assumed)]
    assert compare(every).unit == "g_per_kg_wet"


def test_no_mass_at_all_is_said_in_words():
    comparison = compare([*blocks("A", 200, 210, 190, wet_g=None), *blocks("B", 200, wet_g=None)])
    assert of(comparison, "A").typical.sentence == (
        "3 blocks gave a flush but came without a mass to set it against: weigh the next on arrival."
    )
    assert comparison.sentence.startswith("No finished flush can be set against a block's mass yet")
    assert comparison.troubles[0].startswith("4 blocks with no mass to set the harvest against")


# --- money


def test_the_price_of_a_kilogram_is_what_blocks_cost_over_what_they_bring():
    priced = blocks("A", *[200] * 12, price=6.0, currency="EUR")
    figures = of(compare(priced), "A")
    assert figures.currency == "EUR"
    assert figures.price_per_kg_fresh.value == pytest.approx(6000 / figures.expected.value, rel=0.02)
    assert figures.price_per_kg_fresh.sentence.endswith("(12 blocks).")


def price(supplier, value, low, high, currency="EUR"):
    figures = of(compare(blocks(supplier, 200)), supplier)
    ends = Figure(value=value, low=low, high=high, n=12, unfinished=0, sentence="")
    return replace(figures, currency=currency, price_per_kg_fresh=ends)


def test_prices_that_lie_apart_name_who_costs_less():
    said = of_prices(price("Fen End", 27.749, 24.77, 31.94), price("Moss Lane", 18.372, 15.8, 22.63), True)
    assert said == "Per fresh kilogram Moss Lane costs less: 18.37 EUR against 27.75 from Fen End."


def test_prices_that_overlap_tell_nothing():
    said = of_prices(price("Fen End", 27.749, 22.5, 31.94), price("Moss Lane", 18.372, 15.8, 22.63), True)
    assert said == (
        "Per fresh kilogram prices overlap: cannot tell."
        " Moss Lane likely 15.80 to 22.63 EUR, Fen End 22.50 to 31.94."
    )


def test_prices_of_unlike_varieties_are_said_to_be():
    said = of_prices(price("Fen End", 27.0, 24.0, 31.0), price("Moss Lane", 18.0, 15.0, 22.0), False)
    assert said.endswith(" Each at what it sold you: choose one variety to compare like with like.")


@pytest.mark.parametrize(
    "other", [price("Moss Lane", None, None, None), price("Moss Lane", 18.0, 15.0, 22.0, "GBP")]
)
def test_nothing_is_said_of_prices_that_are_unknown_or_in_another_currency(other):
    assert of_prices(price("Fen End", 27.0, 24.0, 31.0), other, True) == ""


def test_the_more_fruitful_supplier_is_not_called_the_cheaper_one():
    """At 9.00 for about 300 g a kilogram costs about 30; at 2.00 for about 150 g about 13."""
    dear = blocks("Fen End", 300, 310, 290, 305, 295, 300, price=9.0, currency="EUR")
    cheap = blocks("Moss Lane", 150, 155, 145, 150, 152, 148, price=2.0, currency="EUR")
    comparison = compare([*dear, *cheap])
    assert comparison.sentence.startswith("Fen End gives more than Moss Lane")
    assert comparison.price_sentence.startswith("Per fresh kilogram Moss Lane costs less: 1")


def test_one_price_for_a_kilogram_of_either_cannot_be_told_apart():
    dear = blocks("Fen End", 300, 310, 290, 305, 295, 300, price=6.0, currency="EUR")
    cheap = blocks("Moss Lane", 150, 155, 145, 150, 152, 148, price=3.0, currency="EUR")
    assert "prices overlap: cannot tell" in compare([*dear, *cheap]).price_sentence


def test_two_blocks_each_are_too_few_for_a_word_on_prices():
    few = [*blocks("A", 300, 310, price=9.0), *blocks("B", 300, 310, price=1.0)]
    assert compare(few).price_sentence == ""


def test_two_currencies_have_no_one_price():
    mixed = [
        *blocks("A", 200, 210, price=6.0, currency="EUR"),
        block("p", "A", 190, price=5.0, currency="GBP"),
    ]
    assert of(compare(mixed), "A").price_per_kg_fresh.sentence == "Paid in EUR and GBP: no one price."


def test_without_a_price_there_is_none():
    figure = of(compare(blocks("A", 200, 210)), "A").price_per_kg_fresh
    assert (figure.value, figure.sentence) == (
        None,
        "No price was noted for a block whose harvest can be reckoned.",
    )


# --- thin and odd records


def test_no_blocks_at_all():
    comparison = compare([])
    assert (comparison.sentence, comparison.suppliers) == ("No blocks to compare yet.", ())


def test_one_block():
    comparison = compare(blocks("A", 200))
    assert comparison.sentence == "1 block of one supplier: there is nobody to compare with."
    assert of(comparison, "A").typical.low < 200 < of(comparison, "A").typical.high


def test_a_pick_of_0_g_is_no_pick_and_said_so():
    empty = block("e", "A", 0)
    comparison = compare([empty, *blocks("A", 200, 210)])
    assert of(comparison, "A").behind[0].counted == "failed"
    assert comparison.troubles == ("1 block with a pick of 0 g, which counts as no pick.",)


@pytest.mark.parametrize(("grams", "error"), [(math.nan, errors.NotANumber), (-5, errors.BelowZero)])
def test_an_impossible_pick_is_refused(grams, error):
    with pytest.raises(error):
        compare([block("b", "A", grams)])


def test_ten_thousand_picks_of_one_block_are_one_block():
    picks = [Picked(day=CAME + timedelta(days=14 + i % 5), wet_g=0.02, flush=1) for i in range(10_000)]
    whole = block("b", "A", 200)
    many = replace(whole, grown=replace(whole.grown, picks=picks))
    assert of(compare([many]), "A").typical.value == pytest.approx(
        of(compare([whole]), "A").typical.value, rel=1e-6
    )


def test_one_block_typed_ten_times_too_heavy_moves_little():
    sound = [*blocks("A", 200, 210, 190, 205, 195, 200), *blocks("B", 200, 210, 190, 205, 195, 200)]
    slipped = [replace(sound[0], grown=block("x", "A", 1200, 800).grown), *sound[1:]]
    assert compare(slipped).pairs[0].times.value == pytest.approx(1, abs=0.12)


def test_the_same_records_give_the_same_answer():
    every = [*blocks("A", 300, 280, 0), *blocks("B", 200, 210, 190)]
    assert compare(every) == compare(every)


any_blocks = st.lists(
    st.builds(
        lambda key, supplier, flushes, wet_g, ended, variety, price: block(
            str(key),
            supplier,
            *flushes,
            wet_g=wet_g,
            ended=ended,
            variety=variety,
            price=price,
            currency="EUR",
        ),
        key=st.integers(),
        supplier=st.sampled_from("ABC"),
        flushes=st.lists(st.floats(0, 5000), max_size=4),
        wet_g=st.none() | st.floats(0.1, 20_000),
        ended=st.booleans(),
        variety=st.sampled_from(["oyster", "shiitake"]),
        price=st.none() | st.floats(0, 1000),
    ),
    max_size=9,
)


@settings(max_examples=60, deadline=None)
@given(any_blocks)
def test_whatever_the_records_every_number_is_one_and_every_figure_has_its_sentence(records):
    comparison = compare(records, today=CAME + timedelta(days=60))
    assert all(math.isfinite(number) for number in numbers(asdict(comparison)))
    for figures in comparison.suppliers:
        assert figures.received == figures.finished + figures.unfinished == len(figures.behind)
        for figure in (figures.typical, figures.expected, figures.failures, figures.price_per_kg_fresh):
            assert figure.sentence.endswith(".")
            ends = numbers([figure.low, figure.value, figure.high])
            assert len(ends) in {0, 3}
            assert ends == sorted(ends)
