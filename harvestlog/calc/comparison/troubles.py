"""Sentences about the figures that had to be left out of a comparison."""

from collections.abc import Callable, Sequence
from datetime import date

from harvestlog.calc.comparison.answer import Unit
from harvestlog.calc.comparison.blocks import Standing
from harvestlog.calc.comparison.first_harvest import waited
from harvestlog.calc.comparison.sentences import blocks
from harvestlog.calc.comparison.yields import size_of


def troubles(standings: Sequence[Standing], unit: Unit, today: date) -> tuple[str, ...]:
    """One sentence for each kind of figure that is missing or cannot be, with how many blocks it concerns."""

    def without_days(each: Standing) -> bool:
        return each.fate != "failed" and waited(each, today) is None

    def without_mass(each: Standing) -> bool:
        return bool(each.after) and size_of(each.block, unit) is None

    def with_nothing_picked(each: Standing) -> bool:
        return each.empty_picks > 0

    said: list[tuple[Callable[[Standing], bool], str]] = [
        (
            without_mass,
            "no mass to set the harvest against, so the yield leaves them out: weigh blocks on arrival.",
        ),
        (
            without_days,
            "no first day, or a pick dated before it, so the days leave them out: check the dates.",
        ),
        (with_nothing_picked, "a pick of 0 g, which counts as no pick."),
    ]
    counted = [(sum(map(is_so, standings)), words) for is_so, words in said]
    return tuple(f"{blocks(n)} with {words}" for n, words in counted if n)
