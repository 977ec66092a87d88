"""What is taken for granted before a farm's own blocks have spoken."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from harvestlog.calc.comparison.answer import Unit
from harvestlog.calc.comparison.failures import FailurePrior
from harvestlog.calc.comparison.partial_pooling import Scales
from harvestlog.calc.estimates import DryDownPrior, published_prior
from harvestlog.calc.ranges import Range

# Saleable yields of the trade are 150 to 300 g per kg supplied (common practice, no source), widened here; published
# efficiencies run from 17 % (Triratana et al. 1991, reishi) to 213 % (oyster on rain-tree sawdust), most from 40 to 110.
USUAL_YIELD = Range(100, 350)
_EFFICIENCY = Range(30, 130)
_ANY_KIND = published_prior("")
# Judgement, no source, as are all the figures below without one. On the log scale: suppliers of one variety seldom
# differ by half, deliveries by a quarter; blocks of one delivery often differ by a third, and one in ten is an oddity.
_SCALES = Scales(between=0.25, lots=0.12, within=0.30, tail_df=4.0)
# As if one block in ten had failed, and suppliers were anything from quite unlike to nearly the same.
_FAILURES = FailurePrior(failed=1.0, fine=9.0, alike=(4.0, 60.0))


@dataclass(frozen=True)
class Growth:
    """By how much, on the log scale, a block's harvest grows after a flush: mean and standard deviation over blocks."""

    mean: float
    sd: float


@dataclass(frozen=True, kw_only=True)
class Priors:
    """Ranges by variety as published or usual, and how unlike blocks, lots and suppliers are taken to be.

    yield_g_per_kg_wet, efficiency_pct, dry_down: ranges by variety; `usual_*` where a variety has none.
    growth: after flush 1, 2, 3 and later, over blocks that gave one or went without. counts_as: how many blocks
    each of those counts for. over_after_days: a block silent for so long has had the time to give its next flush.
    claim: chance from which "better" is said; fewest: blocks with a known fate both suppliers need for it.
    """

    yield_g_per_kg_wet: Mapping[str, Range] = field(default_factory=dict)
    efficiency_pct: Mapping[str, Range] = field(default_factory=dict)
    dry_down: Mapping[str, DryDownPrior] = field(default_factory=dict)
    usual_yield_g_per_kg_wet: Range = USUAL_YIELD
    usual_efficiency_pct: Range = _EFFICIENCY
    usual_dry_down: DryDownPrior = _ANY_KIND
    scales: Scales = _SCALES
    farm_sd: float = 0.35
    failures: FailurePrior = _FAILURES
    # From a split of 48.8/31.7/19.5 (Agarawal & Topwal 2018, Int J Chem Stud 6(6):1274) and the chance of another.
    growth: tuple[Growth, ...] = (
        Growth(0.42, 0.25),
        Growth(0.13, 0.13),
        Growth(0.05, 0.08),
        Growth(0.02, 0.05),
    )
    counts_as: float = 4.0
    over_after_days: int = 42
    claim: float = 0.90
    fewest: int = 3
    level: float = 0.90

    def range_of(self, unit: Unit, variety: str) -> Range:
        """What is usual of a variety in that unit, or of any."""
        if unit == "efficiency_pct":
            return self.efficiency_pct.get(variety, self.usual_efficiency_pct)
        return self.yield_g_per_kg_wet.get(variety, self.usual_yield_g_per_kg_wet)
