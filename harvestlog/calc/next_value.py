"""The next value of a row of like ones, from few of one's own and from what is usual.

The model, on the log scale, for value j of block b: y = typical + block_b + noise, typical ~ N(centre, between2), and
block and noise together with variance s2, of which the share `alike` is the block's. s2 starts from within2 as if
`worth` values had been seen. Given s2 a block's mean of n values has variance s2 (alike + (1 - alike) / n), the
typical value and the block's own part are weighted means, and what comes next is Student's (conjugate normal model,
Gelman et al. 2013, Bayesian Data Analysis, chapters 3 and 5; s2 put in where the weights want it).
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import atan, cos, pi, sqrt, tan

STRIPS = 512  # of the quarter turn that Student's distribution is added up over; shares come within 0.0001
AS_GOOD_AS_GAUSSIAN = 200  # degrees of freedom are counted no further


@dataclass(frozen=True, kw_only=True)
class Usual:
    """On the log scale: where farms' typical values lie (centre, between), how far one farm's values lie apart
    (within, worth so many values), and which share of that a block keeps from value to value (alike, 0 to 1).
    """

    centre: float
    between: float
    within: float
    worth: float
    alike: float


@dataclass(frozen=True, kw_only=True)
class Next:
    """The next value's distribution on the log scale: Student's around `centre` with `scale` and degrees of freedom."""

    centre: float
    scale: float
    freedom: float

    def at(self, share: float) -> float:
        """The value below which the next one lies with this chance."""
        table = _half(self.freedom)
        part = abs(2 * share - 1) * table[-1]
        strip = min(max(bisect_left(table, part), 1), STRIPS)
        angle = (strip - (table[strip] - part) / (table[strip] - table[strip - 1])) * pi / 2 / STRIPS
        reach = self.scale * sqrt(self.freedom) * tan(min(angle, 1.5707))
        return self.centre + (reach if share > 0.5 else -reach)

    def below(self, value: float) -> float:
        """The chance that the next one lies below this value."""
        table = _half(self.freedom)
        off = (value - self.centre) / self.scale
        place = abs(atan(off / sqrt(self.freedom))) * STRIPS * 2 / pi
        strip = min(int(place), STRIPS - 1)
        part = table[strip] + (place - strip) * (table[strip + 1] - table[strip])
        half = part / table[-1] / 2
        return 0.5 + half if off > 0 else 0.5 - half


def next_value(own: Sequence[float], others: Sequence[Sequence[float]], usual: Usual) -> Next:
    """What comes next of a block with the log values `own`, on a farm whose other blocks gave `others`.

    Valid for any number of values, none included: then the usual speaks alone. Source: see the module.
    """
    blocks = [row for row in (own, *others) if row]
    n = sum(map(len, blocks))
    weights = [_weight(len(row), usual.alike) for row in blocks]
    means = [sum(row) / len(row) for row in blocks]
    total = sum(weights)
    mean = sum(w * m for w, m in zip(weights, means, strict=True)) / total if blocks else usual.centre
    apart = sum(w * (m - mean) ** 2 for w, m in zip(weights, means, strict=True)) + sum(
        (y - m) ** 2 / (1 - usual.alike) for row, m in zip(blocks, means, strict=True) for y in row
    )
    freedom = usual.worth + max(n - 1, 0)
    variance = (usual.worth * usual.within**2 + apart) / freedom
    sure = variance / usual.between**2 + total
    typical = (usual.centre * variance / usual.between**2 + total * mean) / sure
    kept = usual.alike * _weight(len(own), usual.alike) if own else 0.0
    centre = typical + kept * (sum(own) / len(own) - typical) if own else typical
    spread = 1 - usual.alike + usual.alike * (1 - kept) + (1 - kept) ** 2 / sure
    return Next(centre=centre, scale=sqrt(variance * spread), freedom=min(freedom, AS_GOOD_AS_GAUSSIAN))


def _weight(n: int, alike: float) -> float:
    """How many independent values a block's n are worth."""
    return 1 / (alike + (1 - alike) / n)


@lru_cache(maxsize=256)
def _half(freedom: float) -> tuple[float, ...]:
    """Running sum of cos(angle)^(freedom - 1) over a quarter turn: Student's density, its value being tan(angle)."""
    step = pi / 2 / STRIPS
    table, before = [0.0], 1.0
    for strip in range(1, STRIPS + 1):
        after = max(cos(strip * step), 0.0) ** (freedom - 1)
        table.append(table[-1] + (before + after) / 2)
        before = after
    return tuple(table)
