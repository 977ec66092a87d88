"""What a comparison of suppliers says: figures, each with its interval, its blocks and one true sentence."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

Unit = Literal["g_per_kg_wet", "efficiency_pct"]
Verdict = Literal["first", "second", "cannot tell yet"]
Counted = Literal["whole", "brought forward", "failed", "too early", "no mass"]


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A value with the ends it likely lies between; None where it cannot be said, and the sentence says why.

    n: blocks it comes from; unfinished: those among them that are still going.
    """

    value: float | None
    low: float | None
    high: float | None
    n: int
    unfinished: int
    sentence: str


@dataclass(frozen=True, kw_only=True)
class Behind:
    """One block behind the figures, its yields in the comparison's unit.

    counted: "whole" and "brought forward" enter the yield; "failed" enters the failures; "too early" has finished no
    flush; "no mass" lacks what its grams would be divided by. so_far: of its finished flushes, as weighed.
    taken_as: as it enters the yield, an estimate where brought forward. weight: 1 for a usual block, less for one
    unlike its kin.
    """

    key: str
    counted: Counted
    so_far: float | None
    taken_as: float | None
    weight: float | None


@dataclass(frozen=True, kw_only=True)
class SupplierFigures:
    """typical: yield of a block that gives. expected: per block bought, the failed ones counted in.

    Both stand for the mix of varieties compared. failures: share from 0 to 1. Prices: in `currency`.
    """

    supplier: str
    received: int
    finished: int
    unfinished: int
    failed: int
    contaminated: int
    typical: Figure
    expected: Figure
    failures: Figure
    days_to_first_harvest: Figure
    currency: str
    price_per_kg_fresh: Figure
    price_per_100_g_dried: Figure
    behind: tuple[Behind, ...]


@dataclass(frozen=True, kw_only=True)
class Pair:
    """Two suppliers: chance (0 to 1) that a block bought from `first` gives more, and how many times as much.

    enough: whether both have the blocks with a known fate that a verdict needs. alike: whether they have a variety in
    common; where not, only what is usual of the varieties links them.
    """

    first: str
    second: str
    chance: float
    times: Figure
    enough: bool
    alike: bool
    verdict: Verdict


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """`sentence` is what can be said on top, `price_sentence` what of the price from the two suppliers it speaks of ("" where
    nothing); troubles are sentences about figures that had to be left out.
    """

    unit: Unit
    day: date
    level: float
    sentence: str
    price_sentence: str
    suppliers: tuple[SupplierFigures, ...]
    pairs: tuple[Pair, ...]
    troubles: tuple[str, ...]
