"""How the compared varieties dry down, from what was dried of them, and how much of that nobody weighed alone."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import log

import numpy as np
from numpy.typing import NDArray

from harvestlog.calc.comparison.blocks import Bought
from harvestlog.calc.comparison.priors import Priors
from harvestlog.calc.drying import estimate_dry_down
from harvestlog.calc.estimates import NINE_OF_TEN, plain
from harvestlog.calc.figures import block_figures

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class DriedLoad:
    """What one load of a single variety tells: grams of the compared picks that went in, and their share of its dried grams.

    A pick that was weighed dry by itself is told by its own weight and stands in no load here.
    """

    variety: str
    wet_g: float
    dry_g: float


@dataclass(frozen=True, kw_only=True)
class Dried:
    """By variety: the runs (wet_g, dry_g), and of their dried grams those weighed alone and those that are shares."""

    runs: Mapping[str, Sequence[tuple[float, float]]]
    weighed_g: Mapping[str, float]
    shares_g: Mapping[str, float]


def all_dried(blocks: Iterable[Bought], loads: Iterable[DriedLoad]) -> Dried:
    """What was dried of all blocks: a block's picks with a dried weight of their own are one run, and so is each load.

    All shares of a load have one ratio: counted pick by pick they would pass for as many runs. A load heavier dried
    than fresh tells nothing. Source: our rule, as in runs.runs_of.
    """
    runs: defaultdict[str, list[tuple[float, float]]] = defaultdict(list)
    weighed: defaultdict[str, float] = defaultdict(float)
    shares: defaultdict[str, float] = defaultdict(float)
    for block in blocks:
        own = block_figures(block.grown).dry_down
        if own:
            runs[block.grown.variety].append((own.wet_g, own.dry_g))
            weighed[block.grown.variety] += own.dry_g
    for load in loads:
        if 0 < load.dry_g <= load.wet_g:
            runs[load.variety].append((load.wet_g, load.dry_g))
            shares[load.variety] += load.dry_g
    return Dried(runs=runs, weighed_g=weighed, shares_g=shares)


def log_dry_down(
    share: Floats, varieties: Sequence[str], dried: Dried, priors: Priors
) -> tuple[Floats, Floats]:
    """Mean and variance, each (1), of the log dry-down of a mix of varieties; `share` (v) of each sums to 1.

    Source: drying.estimate_dry_down for each variety, weighted by its share as if they strayed independently.
    """
    mean = variance = 0.0
    for part, variety in zip(share, varieties, strict=True):
        prior = priors.dry_down.get(variety, priors.usual_dry_down)
        ratio = estimate_dry_down(dried.runs.get(variety, ()), prior)
        mean += part * log(ratio.value)
        variance += (part * log(ratio.high / ratio.low) / (2 * NINE_OF_TEN)) ** 2
    return np.array([mean]), np.array([variance])


def rests_on(varieties: Iterable[str], dried: Dried) -> str:
    """On what the dry-down of these varieties rests, in a sentence; whoever supplied them, each tells how it dries."""
    names = set(varieties)
    weighed = sum(dried.weighed_g.get(name, 0.0) for name in names)
    shares = sum(dried.shares_g.get(name, 0.0) for name in names)
    its = "its variety" if len(names) == 1 else "its varieties"
    if not weighed and not shares:
        return f"Nothing of {its} was dried yet: the published water content stands in."
    if not shares:
        return f"All {_grams(weighed)} dried of {its} were weighed pick by pick."
    if not weighed:
        return f"All {_grams(shares)} dried of {its} are shares of loads."
    return f"Of {_grams(weighed + shares)} dried of {its}, {_grams(shares)} are shares of loads."


def _grams(grams: float) -> str:
    """Whole grams from 10 g on, two decimals at most below."""
    return f"{grams:.0f} g" if grams >= 10 else f"{plain(grams)} g"
