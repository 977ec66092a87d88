"""What an unfinished block may still give, from what others went on to give after the same flush.

Cutting every block back to the flushes all of them have had the time for would throw most of a small farm's harvest
away, and the answer would change its meaning with each new block. So the finished flushes of an unfinished block are
brought forward instead: log harvest = log harvest after flush k + growth after k + growth after k + 1 + ..., the chain
ladder of insurers (Mack 1993, ASTIN Bulletin 23:213). The growth after flush j, for blocks that gave flush k, is
learnt from every such block whose step is known: log(sum to j + 1 / sum to j) if it gave flush j + 1, and 0 if it was
over before, so blocks that stop early pull the growth down. Means and variances are shrunk: variety to farm, farm to
prior. A block brought forward carries the variance from block to block; the doubt about the mean is one for all
blocks of a variety at the same flush.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import log

from harvestlog.calc.comparison.blocks import Standing
from harvestlog.calc.comparison.priors import Growth


@dataclass(frozen=True, kw_only=True)
class StillToCome:
    """Log growth from here to the end: its mean, its variance from block to block, and the doubt about the mean."""

    mean: float
    variance: float
    doubt: float


@dataclass(frozen=True)
class _Learnt:
    growth: Growth
    counts_as: float


def still_to_come(
    blocks: Sequence[Standing], prior: Sequence[Growth], counts_as: float
) -> dict[tuple[str, int], StillToCome]:
    """Growth still to come by (variety, finished flushes), for each unfinished block that finished one.

    Source: see the module.
    """
    wanted = {
        (b.block.grown.variety, b.flushes) for b in blocks if b.fate == "gave" and not b.over and b.flushes
    }
    found = {}
    for variety, k in sorted(wanted):
        reached = [b for b in blocks if b.flushes >= k]
        own = [b for b in reached if b.block.grown.variety == variety]
        steps = []
        for j in range(min(k, len(prior)), len(prior) + 1):
            farm = _learn(_growths(reached, j), _Learnt(prior[j - 1], counts_as))
            steps.append(_learn(_growths(own, j), _Learnt(farm.growth, counts_as)))
        found[variety, k] = StillToCome(
            mean=sum(s.growth.mean for s in steps),
            variance=sum(s.growth.sd**2 for s in steps),
            doubt=sum(s.growth.sd**2 / s.counts_as for s in steps),
        )
    return found


def _growths(blocks: Iterable[Standing], j: int) -> list[float]:
    """Log growth after flush j of the blocks whose step is known."""
    return [
        log(b.after[j] / b.after[j - 1]) if b.flushes > j else 0.0 for b in blocks if b.flushes > j or b.over
    ]


def _learn(seen: Sequence[float], before: _Learnt) -> _Learnt:
    """Normal mean and variance with `before` counted as so many blocks."""
    n0, n = before.counts_as, len(seen)
    mean = (n0 * before.growth.mean + sum(seen)) / (n0 + n)
    squares = sum((x - mean) ** 2 for x in seen) + n0 * (before.growth.mean - mean) ** 2
    variance = (n0 * before.growth.sd**2 + squares) / (n0 + n)
    return _Learnt(Growth(mean, variance**0.5), n0 + n)
