"""Everything reckoned of all suppliers together, before each is told apart."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from harvestlog.calc.comparison import mixture
from harvestlog.calc.comparison.answer import Unit
from harvestlog.calc.comparison.blocks import Bought, Standing, standing
from harvestlog.calc.comparison.dried import Dried, DriedLoad, all_dried
from harvestlog.calc.comparison.failures import failure_shares, quantiles
from harvestlog.calc.comparison.priors import Priors
from harvestlog.calc.comparison.yields import YieldFit, Yielding, fit_yields, unit_of, yielding

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Whole:
    """Blocks, the model fitted to those with a yield (None without any), and the failures of each supplier."""

    unit: Unit
    day: date
    priors: Priors
    standings: Sequence[Standing]
    suppliers: Sequence[str]
    yielding: Sequence[Yielding]
    log_yields: Mapping[str, float]
    fit: YieldFit | None
    failing: Floats  # (s, p), as failures.failure_shares gives it
    dried: Dried

    def of(self, supplier: str) -> list[Standing]:
        return [s for s in self.standings if s.block.supplier == supplier]

    def entered(self, supplier: str) -> list[Yielding]:
        return [y for y in self.yielding if y.standing.block.supplier == supplier]

    def known(self, supplier: str) -> int:
        return sum(s.fate != "growing" for s in self.of(supplier))

    def gives(self, supplier: str) -> Floats:
        """Atoms of the log of the share of blocks that give."""
        fails = quantiles(self.failing[self.suppliers.index(supplier)], mixture.SHARES[::-1])
        return np.log1p(-fails)


def the_whole(blocks: Sequence[Bought], priors: Priors, today: date, loads: Sequence[DriedLoad]) -> Whole:
    """What compare takes, reckoned as far as it concerns all suppliers at once. Raises what blocks.standing raises."""
    standings = [standing(block, today, priors.over_after_days) for block in blocks]
    suppliers = sorted({block.supplier for block in blocks})
    fates = [[s.fate for s in standings if s.block.supplier == name] for name in suppliers]
    unit = unit_of(blocks)
    entered = yielding(standings, unit, priors)
    return Whole(
        unit=unit,
        day=today,
        priors=priors,
        standings=standings,
        suppliers=suppliers,
        yielding=entered,
        log_yields={y.standing.block.key: y.log_yield for y in entered},
        fit=fit_yields(entered, suppliers, unit, priors) if entered else None,
        failing=failure_shares(
            [theirs.count("failed") for theirs in fates],
            [len(theirs) - theirs.count("growing") for theirs in fates],
            priors.failures,
        ),
        dried=all_dried((each.block for each in standings), loads),
    )
