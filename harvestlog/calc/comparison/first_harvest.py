"""Days from a block's first day to its first pick, with those still waiting counted as waiting."""

from collections.abc import Sequence
from datetime import date

from harvestlog.calc.comparison.answer import Figure
from harvestlog.calc.comparison.blocks import Standing
from harvestlog.calc.comparison.sentences import blocks, unsaid
from harvestlog.calc.comparison.survival import Median, Waited, median_wait


def days_to_first_harvest(theirs: Sequence[Standing], today: date, level: float) -> Figure:
    """Median days from opening, else delivery, to the first pick, of the blocks that give or still may.

    Failed blocks never had a first harvest: they are counted as failures, not as slow. Source: survival.
    """
    waits = [wait for each in theirs if (wait := waited(each, today))]
    came = sum(wait.came for wait in waits)
    waiting = len(waits) - came
    if not came:
        return unsaid("No first harvest yet.", len(waits), waiting)
    median = median_wait(waits, level)
    if 1 - 2 * 0.5**came < level:  # all of so few may lie on one side of the true median
        median = Median(value=median.value, low=None, high=None)
    return Figure(
        value=median.value,
        low=median.low,
        high=median.high,
        n=len(waits),
        unfinished=waiting,
        sentence=_sentence(median, came, waiting),
    )


def waited(each: Standing, today: date) -> Waited | None:
    """How long a block has waited for its first harvest; None when it failed or its days cannot be counted."""
    grown = each.block.grown
    since = grown.opened or grown.received
    if each.fate == "failed" or since is None:
        return None
    first = min((pick.day for pick in grown.picks), default=None)
    days = ((first or today) - since).days
    return Waited(days=days, came=first is not None) if days >= 0 else None


def _sentence(median: Median, came: int, waiting: int) -> str:
    still = f", {waiting} still waiting" if waiting else ""
    seen = f"({blocks(came)} picked{still})"
    if median.value is None:
        return f"Fewer than half have had their first harvest yet {seen}."
    half = f"Half had their first harvest by day {median.value:.0f}"
    if median.low is None:
        return f"{half}; too few to say how sure that is {seen}."
    return f"{half}, likely {median.low:.0f} {f'to {median.high:.0f}' if median.high else 'or later'} {seen}."
