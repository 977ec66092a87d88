"""The figures of one block, and one supplier's plain history."""

from dataclasses import asdict
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harvestlog.calc import errors
from harvestlog.calc.figures import Grown, Picked, block_figures
from harvestlog.calc.suppliers import early_words, history_by_variety, supplier_history
from harvestlog.calc.yields import Basis
from tests.calc.worked import agrees, examples


def day(text):
    return text and date.fromisoformat(text)


def grown(block):
    return Grown(
        **{
            **block,
            "basis": Basis(**block["basis"]),
            "received": day(block["received"]),
            "opened": day(block["opened"]),
            "picks": [Picked(**{**pick, "day": day(pick["day"])}) for pick in block["picks"]],
        }
    )


@pytest.mark.parametrize("case", examples("figures"))
def test_figures_of_a_block(case):
    if "refuses" in case:
        with pytest.raises(getattr(errors, case["refuses"])):
            block_figures(grown(case["block"]))
        return
    figures = asdict(block_figures(grown(case["block"])))
    assert len(figures.pop("troubles")) == case["troubles"]
    figures["day_zero"] = figures["day_zero"] and figures["day_zero"].isoformat()
    assert agrees(figures, case["expect"]), figures


@pytest.mark.parametrize("case", examples("suppliers"))
def test_history_of_a_supplier(case):
    blocks = [grown(block) for block in case["blocks"]]
    history = supplier_history(blocks)
    assert agrees(history, case["expect"]), history
    assert early_words(history) == case["words"]
    if "by_variety" in case:
        apart = history_by_variety(blocks)
        assert agrees(apart, case["by_variety"])
        assert {variety: early_words(of) for variety, of in apart.items()} == case["words_by_variety"]


def test_trouble_names_the_day():
    figures = block_figures(
        Grown(
            variety="",
            basis=Basis(kind="none"),
            received=date(2026, 3, 10),
            picks=[Picked(day=date(2026, 3, 1), wet_g=100, flush=1)],
        )
    )
    assert figures.troubles == (
        "A pick is dated before the block's first day, 2026-03-10: check both dates.",
    )


blocks_of_any_kind = st.builds(
    Grown,
    variety=st.sampled_from(["pink oyster", "shiitake"]),
    basis=st.just(Basis(kind="stated", dry_g=400)),
    wet_g=st.none() | st.floats(100, 5000),
    received=st.dates(date(2026, 1, 1), date(2026, 12, 31)),
    ended=st.booleans(),
    contaminated=st.booleans(),
    picks=st.lists(
        st.builds(
            Picked,
            day=st.dates(date(2026, 1, 1), date(2026, 12, 31)),
            wet_g=st.floats(1, 2000),
            flush=st.integers(1, 5),
        ),
        max_size=4,
    ),
)


@given(st.lists(blocks_of_any_kind, max_size=8))
def test_every_block_is_counted_once(blocks):
    history = supplier_history(blocks)
    days = history.days_to_first_harvest
    with_days = days.n if days else 0
    assert history.received == history.unfinished + history.finished == len(blocks)
    assert with_days + history.days_unusable + history.no_harvest_yet + history.failed == len(blocks)


@given(st.lists(blocks_of_any_kind, min_size=1, max_size=8))
def test_there_is_a_middle_or_words_in_its_place(blocks):
    history = supplier_history(blocks)
    assert bool(history.yield_g_per_kg_wet) != bool(early_words(history))


@given(st.lists(blocks_of_any_kind, max_size=8), blocks_of_any_kind)
def test_a_block_still_growing_never_moves_a_yield(blocks, another):
    growing = Grown(**{**vars(another), "ended": False})
    before, after = supplier_history(blocks), supplier_history([*blocks, growing])
    assert before.yield_g_per_kg_wet == after.yield_g_per_kg_wet
    assert before.efficiency_pct == after.efficiency_pct
