"""From blocks to the rows of the partial pooling model, and from its fit to each supplier's yield."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

import numpy as np
from numpy.typing import NDArray

from harvestlog.calc.comparison import mixture
from harvestlog.calc.comparison.answer import Unit
from harvestlog.calc.comparison.blocks import Bought, Standing
from harvestlog.calc.comparison.layers import Rows
from harvestlog.calc.comparison.partial_pooling import Fit, pool
from harvestlog.calc.comparison.priors import Priors
from harvestlog.calc.comparison.unfinished import StillToCome, still_to_come
from harvestlog.calc.errors import Unacceptable
from harvestlog.calc.yields import block_efficiency, yield_g_per_kg_wet

Floats = NDArray[np.float64]
FINISHED = StillToCome(mean=0.0, variance=0.0, doubt=0.0)


@dataclass(frozen=True, kw_only=True)
class Yielding:
    """A block that enters the yield: its log yield as it will be in the end, and what of it is estimated."""

    standing: Standing
    log_yield: float
    to_come: StillToCome

    @property
    def variety(self) -> str:
        return self.standing.block.grown.variety

    @property
    def lot(self) -> tuple[str, str, str]:
        """Variety, supplier and delivery: blocks of one lot have all three in common."""
        block = self.standing.block
        return block.grown.variety, block.supplier, block.lot

    @property
    def leans_on(self) -> tuple[str, int] | None:
        """The class of unfinished blocks whose growth still to come it shares."""
        return None if self.standing.over else (self.variety, self.standing.flushes)


@dataclass(frozen=True, kw_only=True)
class YieldFit:
    """The fitted model with the names of its columns; `mix` (v) is the share of each variety among the blocks."""

    fit: Fit
    varieties: tuple[str, ...]
    suppliers: tuple[str, ...]
    cells: tuple[tuple[str, str], ...]
    mix: Floats
    weight_of: dict[str, float]

    def level(self, supplier: str, mix: Floats | None = None) -> tuple[Floats, Floats]:
        """Mean and variance at each grid point of the log yield of a block that gives, for a mix of varieties."""
        return self._contrast({supplier: 1.0}, self.mix if mix is None else mix)

    def difference(self, first: str, second: str) -> Floats:
        """Atoms of how much higher the log yield of `first` is than that of `second`."""
        return mixture.of_gaussians(self.fit.weight, *self._contrast({first: 1.0, second: -1.0}, self.mix))

    def log_mean_over_median(self) -> float:
        """By how much the mean of blocks lies above their median on the log scale: half the variance of a block."""
        return float(self.fit.weight @ (self.fit.scales[:, 1:] ** 2).sum(axis=1)) / 2

    def _contrast(self, factors: dict[str, float], mix: Floats) -> tuple[Floats, Floats]:
        of = np.array([factors.get(name, 0.0) for name in self.suppliers])
        every = {
            (v, s): share * factor
            for v, share in zip(self.varieties, mix, strict=True)
            for s, factor in factors.items()
        }
        seen = np.array([every.pop(cell, 0.0) for cell in self.cells])
        whole = of.sum()
        return self.fit.contrast(
            np.concatenate([[whole], mix * whole, of]), seen, sum(f**2 for f in every.values())
        )


def unit_of(blocks: Sequence[Bought]) -> Unit:
    """Biological efficiency where every block's dry mass is known, else grams per kg wet. An assumed range is not known."""
    known = [block.grown.basis.kind in {"stated", "oven", "measured"} for block in blocks]
    usable = all(known) and all(size_of(block, "efficiency_pct") for block in blocks)
    return "efficiency_pct" if blocks and usable else "g_per_kg_wet"


def size_of(block: Bought, unit: Unit) -> float | None:
    """Grams picked for each 1 of the unit: kilograms of wet block, or hundredths of its dry mass in grams."""
    try:
        if unit == "efficiency_pct":
            efficiency = block_efficiency(1000.0, block.grown.basis)
            return 1000 / efficiency[0] if efficiency else None
        return None if block.grown.wet_g is None else 1000 / yield_g_per_kg_wet(1000.0, block.grown.wet_g)
    except Unacceptable:
        return None


def yielding(blocks: Sequence[Standing], unit: Unit, priors: Priors) -> list[Yielding]:
    """The blocks that gave at least one finished flush and have a size to divide by, lot after lot."""
    growth = still_to_come(blocks, priors.growth, priors.counts_as)
    found = []
    for each in blocks:
        size = size_of(each.block, unit)
        if size is None or not each.after:
            continue
        to_come = FINISHED if each.over else growth[each.block.grown.variety, each.flushes]
        found.append(
            Yielding(standing=each, log_yield=log(each.after[-1]) - log(size) + to_come.mean, to_come=to_come)
        )
    return sorted(found, key=lambda y: y.lot)


def fit_yields(found: Sequence[Yielding], suppliers: Sequence[str], unit: Unit, priors: Priors) -> YieldFit:
    """Fits variety + supplier + lot + block to the log yields; needs at least one."""
    varieties = tuple(sorted({y.variety for y in found}))
    cells = tuple(sorted({y.lot[:2] for y in found}))
    fit = pool(_rows(found, varieties, suppliers, cells, unit, priors), priors.scales)
    return YieldFit(
        fit=fit,
        varieties=varieties,
        suppliers=tuple(suppliers),
        cells=cells,
        mix=np.array([sum(y.variety == v for y in found) / len(found) for v in varieties]),
        weight_of={y.standing.block.key: float(w) for y, w in zip(found, fit.block_weight, strict=True)},
    )


def _rows(
    found: Sequence[Yielding],
    varieties: Sequence[str],
    suppliers: Sequence[str],
    cells: Sequence[tuple[str, str]],
    unit: Unit,
    priors: Priors,
) -> Rows:
    lots = {lot: i for i, lot in enumerate(sorted({y.lot for y in found}))}
    ranges = [priors.range_of(unit, variety) for variety in varieties]
    classes = {y.leans_on: y.to_come.doubt for y in found if y.leans_on}
    none = [0.0] * len(suppliers)
    return Rows(
        y=np.array([y.log_yield for y in found]),
        extra=np.array([y.to_come.variance for y in found]),
        lot=np.array([lots[y.lot] for y in found]),
        cell=np.array([cells.index(lot[:2]) for lot in lots]),
        design=np.array(
            [[1.0, *(v == each for each in varieties), *(s == each for each in suppliers)] for v, s in cells],
            dtype=np.float64,
        ),
        mean=np.array([0.0, *(r.log_middle for r in ranges), *none]),
        variance=np.array([priors.farm_sd**2, *(r.log_sd**2 for r in ranges), *(one + 1 for one in none)]),
        supplier=np.array([False] * (1 + len(varieties)) + [True] * len(suppliers)),
        shared=np.array([[y.leans_on == one for y in found] for one in classes], dtype=np.bool_),
        doubt=np.array(list(classes.values())),
    )
