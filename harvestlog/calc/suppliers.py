"""The plain history of one supplier's blocks, and `compare`: how suppliers stand against each other."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median
from typing import TYPE_CHECKING

from harvestlog.calc.comparison.answer import Comparison
from harvestlog.calc.comparison.blocks import Bought
from harvestlog.calc.figures import BlockFigures, Grown, block_figures

if TYPE_CHECKING:
    from harvestlog.calc.comparison.priors import Priors

__all__ = ["Spread", "SupplierHistory", "compare", "history_by_variety", "spread_of", "supplier_history"]


def compare(
    blocks: Sequence[Bought], priors: "Priors | None" = None, today: date | None = None
) -> Comparison:
    """As comparison.compare.compare, where equations, priors and weaknesses stand; the usual priors unless others are given."""
    # numpy takes 60 ms to load, and the models 30: only who compares waits for them.
    from harvestlog.calc.comparison import compare as comparing

    return comparing.compare(blocks, priors or comparing.USUAL, today)


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
    both yields, where the block was weighed or its dry mass is known; else they are left out as a good one would be. no_harvest_yet are unfinished and without a pick. days_unusable have a pick dated before the
    block's first day, or no first day at all.
    """

    received: int
    unfinished: int
    finished: int
    failed: int
    contaminated: int
    yield_g_per_kg_wet: Spread | None
    efficiency_pct: Spread | None
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
        yield_g_per_kg_wet=spread_of(per_kg, per_kg, per_kg),
        efficiency_pct=_efficiency([figures for _, figures in ended]),
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


def _efficiency(ended: Iterable[BlockFigures]) -> Spread | None:
    ranges = [figures.efficiency_pct for figures in ended if figures.efficiency_pct is not None]
    return spread_of(
        [(low + high) / 2 for low, high in ranges],
        [low for low, _ in ranges],
        [high for _, high in ranges],
    )


def spread_of(middles: Sequence[float], lows: Sequence[float], highs: Sequence[float]) -> Spread | None:
    """Median of the middles between the lowest low and the highest high; None of nothing."""
    if not middles:
        return None
    return Spread(median=median(middles), low=min(lows), high=max(highs), n=len(middles))
