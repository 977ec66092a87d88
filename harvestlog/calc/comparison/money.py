"""What a kilogram of fresh mushrooms, and 100 g of dried ones, costs from each supplier."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, log

import numpy as np
from numpy.typing import NDArray

from harvestlog.calc.acceptable import zero_or_more
from harvestlog.calc.comparison import mixture
from harvestlog.calc.comparison.answer import Figure, Unit
from harvestlog.calc.comparison.blocks import Bought
from harvestlog.calc.comparison.priors import Priors
from harvestlog.calc.comparison.sentences import priced, unsaid
from harvestlog.calc.comparison.yields import YieldFit, size_of
from harvestlog.calc.drying import estimate_dry_down
from harvestlog.calc.estimates import NINE_OF_TEN
from harvestlog.calc.figures import block_figures

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Prices:
    currency: str
    per_kg_fresh: Figure
    per_100_g_dried: Figure


def prices(
    theirs: Sequence[Bought],
    everyone: Iterable[Bought],
    fit: YieldFit,
    gives: Floats,
    unit: Unit,
    priors: Priors,
) -> Prices:
    """What one supplier's blocks cost over the grams to be expected of them, failures counted in.

    gives: atoms of the log of the share of blocks that give. The grams are those of this supplier's level for the
    varieties paid for; the dried price multiplies by their dry-down. Raises NotANumber, BelowZero for a price.
    """
    paid = [b for b in theirs if _is_priced(b) and size_of(b, unit) and b.grown.variety in fit.varieties]
    currencies = sorted({b.currency for b in paid})
    cost = sum(b.price or 0.0 for b in paid)
    if len(currencies) > 1:
        return _unsaid(
            f"Paid in {' and '.join(c or 'an unnamed currency' for c in currencies)}: no one price."
        )
    if cost <= 0:
        return _unsaid("No price was noted for a block whose harvest can be reckoned.")
    grams, share = _expected(paid, fit, unit)
    fresh = mixture.of_sum(-grams[::-1], -gives[::-1]) + log(1000 * cost)
    ratio = mixture.of_gaussians(np.ones(1), *_log_dry_down(share, fit.varieties, everyone, priors))
    dried = mixture.of_sum(fresh, ratio) - log(10)
    return Prices(
        currencies[0],
        priced("A fresh kilogram costs", _exp(fresh, priors.level), currencies[0], len(paid)),
        priced("100 g dried cost", _exp(dried, priors.level), currencies[0], len(paid)),
    )


def no_prices() -> Prices:
    """When no yield can be said of a supplier's blocks."""
    return _unsaid("No price per kilogram yet: no finished flush can be set against a block's mass.")


def _unsaid(why: str) -> Prices:
    return Prices("", unsaid(why), unsaid(why))


def _is_priced(block: Bought) -> bool:
    return block.price is not None and zero_or_more("price of a block", block.price) > 0


def _exp(atoms: Floats, level: float) -> tuple[float, float, float]:
    middle, low, high = mixture.interval(atoms, level)
    return exp(middle), exp(low), exp(high)


def _expected(paid: Sequence[Bought], fit: YieldFit, unit: Unit) -> tuple[Floats, Floats]:
    """Atoms of the log grams these blocks would give, and the share of each variety in them.

    The log of the sum over varieties is taken as linear around the middle of each.
    """
    supplier = paid[0].supplier
    alone = np.eye(len(fit.varieties))
    middle = np.array([fit.fit.weight @ fit.level(supplier, each)[0] for each in alone])
    size = np.zeros(len(fit.varieties))
    for block in paid:
        size[fit.varieties.index(block.grown.variety)] += size_of(block, unit) or 0.0
    grams = size * np.exp(middle)
    share = grams / grams.sum()
    mean, variance = fit.level(supplier, share)
    shift = log(grams.sum()) - float(share @ middle) + fit.log_mean_over_median()
    return mixture.of_gaussians(fit.fit.weight, mean + shift, variance), share


def _log_dry_down(
    share: Floats, varieties: Sequence[str], blocks: Iterable[Bought], priors: Priors
) -> tuple[Floats, Floats]:
    """Mean and variance of the log dry-down of a mix of varieties, each block that was dried counting as one run."""
    runs: defaultdict[str, list[tuple[float, float]]] = defaultdict(list)
    for block in blocks:
        dried = block_figures(block.grown).dry_down
        if dried:
            runs[block.grown.variety].append((dried.wet_g, dried.dry_g))
    mean = variance = 0.0
    for part, variety in zip(share, varieties, strict=True):
        ratio = estimate_dry_down(runs[variety], priors.dry_down.get(variety, priors.usual_dry_down))
        mean += part * log(ratio.value)
        variance += (part * log(ratio.high / ratio.low) / (2 * NINE_OF_TEN)) ** 2
    return np.array([mean]), np.array([variance])
