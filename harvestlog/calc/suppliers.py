"""The plain history of one supplier's blocks, and `compare`: how suppliers stand against each other."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import floor
from statistics import median
from typing import TYPE_CHECKING

from harvestlog.calc.comparison.answer import Comparison
from harvestlog.calc.comparison.blocks import Bought
from harvestlog.calc.figures import BlockFigures, Grown, block_figures

if TYPE_CHECKING:
    from harvestlog.calc.comparison.dried import DriedLoad
    from harvestlog.calc.comparison.priors import Priors

__all__ = [
    "FEWEST_FINISHED",
    "Spread",
    "SupplierHistory",
    "compare",
    "early_words",
    "few_words",
    "history_by_variety",
    "middle_of",
    "spread_of",
    "supplier_history",
]

# Under so many finished blocks no median: what fails is finished first, so the first to finish are the poorest, and one
# more block moves it from end to end. Our own choice, no source; the comparison asks as many of both suppliers.
FEWEST_FINISHED = 3


def compare(
    blocks: Sequence[Bought],
    priors: "Priors | None" = None,
    today: date | None = None,
    loads: "Sequence[DriedLoad]" = (),
) -> Comparison:
    """As comparison.compare.compare, where equations, priors and weaknesses stand; the usual priors unless others are given."""
    # numpy takes 60 ms to load, and the models 30: only who compares waits for them.
    from harvestlog.calc.comparison import compare as comparing

    return comparing.compare(blocks, priors or comparing.USUAL, today, loads)


@dataclass(frozen=True, kw_only=True)
class Spread:
    """Middle value, lowest, highest, and how many blocks they come from; there is no Spread of no blocks."""

    median: float
    low: float
    high: float
    n: int


@dataclass(frozen=True, kw_only=True)
class SupplierHistory:
    """Counts of blocks, and spreads over those blocks that can be counted; None where none can.

    received = unfinished + finished. failed are those finished that never gave a gram: they count as 0 in
    both yields, where the block was weighed or its dry mass is known; else they are left out as a good one would be.
    Both yields are None, too, under FEWEST_FINISHED such blocks, and where the middle block failed while others grow.
    gave_g_per_kg_wet, so_far_g_per_kg_wet: of each weighed block that gave, finished or still growing, the least first.
    no_harvest_yet are unfinished and without a pick. days_unusable have a pick dated before the block's first day, or
    no first day at all.
    """

    received: int
    unfinished: int
    finished: int
    failed: int
    contaminated: int
    yield_g_per_kg_wet: Spread | None
    efficiency_pct: Spread | None
    gave_g_per_kg_wet: tuple[float, ...]
    so_far_g_per_kg_wet: tuple[float, ...]
    days_to_first_harvest: Spread | None
    no_harvest_yet: int
    days_unusable: int


def supplier_history(blocks: Iterable[Grown]) -> SupplierHistory:
    """History of one supplier over any mix of varieties: yields in g per kg wet and in %, first harvest in days.

    Only finished blocks enter a yield: a block still growing would pass for a poor one. The efficiency is the
    median of the blocks' mid values between the lowest and the highest end. Days count from opening, else from
    delivery. No fair comparison of suppliers: that needs the same variety and the same time to grow.
    Source: definitions in yields. Raises what block_figures raises.
    """
    grown = [(block, block_figures(block)) for block in blocks]
    ended = [(block, figures) for block, figures in grown if block.ended]
    picked = [figures for _, figures in grown if figures.fresh_g > 0]
    days = [f.days_to_first_harvest for f in picked if f.days_to_first_harvest is not None]
    per_kg = [f.yield_g_per_kg_wet for _, f in ended if f.yield_g_per_kg_wet is not None]
    return SupplierHistory(
        received=len(grown),
        unfinished=len(grown) - len(ended),
        finished=len(ended),
        failed=sum(figures.fresh_g == 0 for _, figures in ended),
        contaminated=sum(block.contaminated for block, _ in grown),
        yield_g_per_kg_wet=middle_of(per_kg, per_kg, per_kg, growing=len(grown) > len(ended)),
        efficiency_pct=_efficiency([figures for _, figures in ended], growing=len(grown) > len(ended)),
        gave_g_per_kg_wet=_given(figures for _, figures in ended),
        so_far_g_per_kg_wet=_given(figures for block, figures in grown if not block.ended),
        days_to_first_harvest=spread_of(days, days, days),
        no_harvest_yet=sum(not block.ended and figures.fresh_g == 0 for block, figures in grown),
        days_unusable=len(picked) - len(days),
    )


def history_by_variety(blocks: Iterable[Grown]) -> dict[str, SupplierHistory]:
    """The same history for each variety apart, in the order the varieties first came. Raises as above."""
    apart: dict[str, list[Grown]] = {}
    for block in blocks:
        apart.setdefault(block.variety, []).append(block)
    return {variety: supplier_history(theirs) for variety, theirs in apart.items()}


def _efficiency(ended: Iterable[BlockFigures], growing: bool) -> Spread | None:
    ranges = [figures.efficiency_pct for figures in ended if figures.efficiency_pct is not None]
    return middle_of(
        [(low + high) / 2 for low, high in ranges],
        [low for low, _ in ranges],
        [high for _, high in ranges],
        growing,
    )


def _given(blocks: Iterable[BlockFigures]) -> tuple[float, ...]:
    return tuple(sorted(each for f in blocks if f.fresh_g > 0 and (each := f.yield_g_per_kg_wet) is not None))


def middle_of(
    middles: Sequence[float], lows: Sequence[float], highs: Sequence[float], growing: bool
) -> Spread | None:
    """The spread over finished blocks; None under FEWEST_FINISHED, and where the middle one failed while others grow.

    What fails is over before what gives: such a 0 would be taken for a finding.
    """
    if len(middles) < FEWEST_FINISHED or (growing and median(middles) == 0):
        return None
    return spread_of(middles, lows, highs)


def early_words(history: SupplierHistory) -> str:
    """What stands in place of a median yield that cannot be given yet; "" where there is one, or no block at all."""
    if history.yield_g_per_kg_wet or history.received == 0:
        return ""
    return few_words(
        gave=history.gave_g_per_kg_wet,
        failed=history.failed,
        unweighed=history.finished - history.failed - len(history.gave_g_per_kg_wet),
        so_far=history.so_far_g_per_kg_wet,
        giving=history.unfinished - history.no_harvest_yet,
        waiting=history.no_harvest_yet,
    )


def few_words(
    *, gave: Sequence[float], failed: int, unweighed: int, so_far: Sequence[float], giving: int, waiting: int
) -> str:
    """Blocks too few for a median, one by one.

    gave: of the finished ones, so_far: of those still giving, both in g per kg wet and the least first; unweighed gave
    something too; waiting have no pick yet.
    """
    still = f" ({_between(so_far)} g per kg so far)" if so_far else ""
    counts = [
        f"{failed} failed" if failed else "",
        f"{unweighed} finished without a wet mass" if unweighed else "",
        f"{giving} still giving{still}" if giving else "",
        f"{waiting} not picked yet" if waiting else "",
    ]
    finished = f"finished so far: {_listed(gave)} g per kg" if gave else ""
    said = "; ".join(part for part in (finished, ", ".join(filter(None, counts))) if part)
    return f"{said}: {_why(len(gave) + unweighed, failed, giving + waiting)}"


def _why(gave: int, failed: int, unfinished: int) -> str:
    if unfinished:
        return "too early to say"
    return "none gave anything" if gave == 0 and failed >= FEWEST_FINISHED else "too few to say"


def _listed(values: Sequence[float]) -> str:
    shown = [_whole(each) for each in values]
    return " and ".join(filter(None, (", ".join(shown[:-1]), shown[-1])))


def _between(values: Sequence[float]) -> str:
    low, high = _whole(values[0]), _whole(values[-1])
    return low if low == high else f"{low} to {high}"


def _whole(value: float) -> str:
    """A half goes up, here as on the phone."""
    return str(floor(value + 0.5))


def spread_of(middles: Sequence[float], lows: Sequence[float], highs: Sequence[float]) -> Spread | None:
    """Median of the middles between the lowest low and the highest high; None of nothing."""
    if not middles:
        return None
    return Spread(median=median(middles), low=min(lows), high=max(highs), n=len(middles))
