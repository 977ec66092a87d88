"""What is left in a jar, and how much fresh it stands for."""

import math
from collections.abc import Sequence

from harvestlog.calc.acceptable import above_zero, number, zero_or_more
from harvestlog.calc.estimates import Estimate
from harvestlog.calc.rehydration import fresh_g_for_dry


def jar_left_g(dry_g: float, takings_g: Sequence[float]) -> float:
    """Grams left of dry_g after the takings, rounded to 0.001 g; below 0 where two phones took from it offline.

    Source: subtraction. Raises NotANumber, BelowZero, IsZero.
    """
    taken = sum(zero_or_more("mass taken", grams) for grams in takings_g)
    return math.floor((above_zero("dry mass of the jar", dry_g) - taken) * 1000 + 0.5) / 1000


def fresh_equivalent(dry_g: float, ratio: Estimate) -> Estimate | None:
    """Fresh grams that so much dried stands for, by the dry-down ratio; None where nothing is left.

    Source: rehydration.fresh_g_for_dry. Raises NotANumber, IsZero, BelowZero, RangeUpsideDown for the ratio.
    """
    left = number("dry mass", dry_g)
    return fresh_g_for_dry(left, ratio) if left > 0 else None
