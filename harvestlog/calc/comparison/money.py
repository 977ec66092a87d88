"""What a kilogram of fresh mushrooms, and 100 g of dried ones, costs from each supplier."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log

import numpy as np
from numpy.typing import NDArray

from harvestlog.calc.acceptable import zero_or_more
from harvestlog.calc.comparison import mixture
from harvestlog.calc.comparison.answer import Figure, Unit
from harvestlog.calc.comparison.blocks import Bought
from harvestlog.calc.comparison.dried import log_dry_down, rests_on
from harvestlog.calc.comparison.sentences import priced, unsaid
from harvestlog.calc.comparison.whole import Whole
from harvestlog.calc.comparison.yields import YieldFit, size_of

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Prices:
    currency: str
    per_kg_fresh: Figure
    per_100_g_dried: Figure


def prices(whole: Whole, supplier: str) -> Prices:
    """What one supplier's blocks cost over the grams to be expected of them, failures counted in.

    The grams are those of this supplier's level for the varieties paid for; the dried price multiplies by their dry-down,
    so it is that of a harvest dried to the last pick: what was sold fresh, or is not dried yet, changes nothing.
    Raises NotANumber, BelowZero for a price.
    """
    fit, unit = whole.fit, whole.unit
    if fit is None or not whole.entered(supplier):
        return _unsaid("No price per kilogram yet: no finished flush can be set against a block's mass.")
    theirs = [each.block for each in whole.of(supplier)]
    paid = [b for b in theirs if _is_priced(b) and size_of(b, unit) and b.grown.variety in fit.varieties]
    currencies = sorted({block.currency for block in paid})
    if not paid:
        return _unsaid("No price was noted for a block whose harvest can be reckoned.")
    if len(currencies) > 1:
        named = " and ".join(currency or "an unnamed currency" for currency in currencies)
        return _unsaid(f"Paid in {named}: no one price.")
    return _of_paid(whole, fit, paid)


def _of_paid(whole: Whole, fit: YieldFit, paid: Sequence[Bought]) -> Prices:
    """Prices over blocks that were all paid for in one currency."""
    currency, level = paid[0].currency, whole.priors.level
    grams, share = _expected(paid, fit, whole.unit)
    cost = sum(block.price or 0.0 for block in paid)
    fresh = mixture.of_sum(-grams[::-1], -whole.gives(paid[0].supplier)[::-1]) + log(1000 * cost)
    ratio = mixture.of_gaussians(np.ones(1), *log_dry_down(share, fit.varieties, whole.dried, whole.priors))
    dried = mixture.of_sum(fresh, ratio) - log(10)
    ground = rests_on({block.grown.variety for block in paid}, whole.dried)
    return Prices(
        currency,
        priced("A fresh kilogram costs", _exp(fresh, level), currency, len(paid)),
        priced("Were all of it dried, 100 g would cost", _exp(dried, level), currency, len(paid), ground),
    )


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
