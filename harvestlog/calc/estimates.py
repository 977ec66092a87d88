"""A figure with its interval, and how published figures give way to the farm's own."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from harvestlog.calc.acceptable import above_zero, shown
from harvestlog.calc.errors import RangeUpsideDown

NINE_OF_TEN = (
    1.6448536269514722  # half width, in standard deviations, of the middle 90 % of a normal distribution
)

# Fresh water in % by catalogue key. SR: USDA National Nutrient Database for Standard Reference. FDC: USDA FoodData
# Central, Foundation Foods, where water was derived: 100 less protein, fat and carbohydrate, less 0.75 for ash.
PUBLISHED_WATER: Mapping[str, tuple[float, str]] = MappingProxyType(
    {
        "pleurotus-ostreatus": (89.18, "SR, NDB 11987"),
        "pleurotus-eryngii": (88.03, "FDC 2003599, derived"),
        "hericium-erinaceus": (88.90, "FDC 1999626, derived"),
        "lentinula-edodes": (89.74, "SR, NDB 11238"),
        "flammulina-filiformis": (88.34, "SR, NDB 11950 (enoki)"),
        "hypsizygus-marmoreus": (89.86, "FDC (beech; its number not seen), derived"),
        "grifola-frondosa": (90.37, "SR, NDB 11993"),
        "agaricus-bisporus": (92.45, "SR, NDB 11260"),
    }
)
# Standard deviation of the logarithm of published dry matter. Of one kind: 0.12 over nine figures for oyster, 0.13 over
# four for shiitake (SR, FDC; Mattila et al. 2002, J Agric Food Chem 50:6419; J Mycol 2016, 7654123; AMB Express 8,
# 10.1186/s13568-018-0664-6), wild ones left out. Other kinds: the eight above, portabella (NDB 11265), crimini (NDB 11266).
SPREAD_OF_ONE_KIND = 0.13
OTHER_KINDS_WATER_PCT = 90.3
SPREAD_OF_OTHER_KINDS = 0.23
FINAL_WATER_PCT = (3.0, 10.0)  # crisp-dry (common practice, no source)
# Tables lie from 88 to 93 (USDA Standard Reference); mushrooms that stood in dry air hold less (our assumption).
FRESH_WATER_PCT = (85.0, 93.0)


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """The likeliest `value`, the ends of its 90 % interval, how many of the farm's own batches it rests on, and in words on what."""

    value: float
    low: float
    high: float
    n: int
    basis: str


@dataclass(frozen=True, kw_only=True)
class DryDownPrior:
    """What is published of a kind before any run of one's own: fresh water in %, how far figures for it lie apart (in log
    dry matter), the range its final water, in %, is taken to lie in, the words for all this, and its source.
    """

    fresh_water_pct: float
    fresh_spread: float
    final_low_pct: float
    final_high_pct: float
    basis: str
    source: str


def published_prior(species: str) -> DryDownPrior:
    """The published water content of a species, by catalogue key; that of cultivated mushrooms at large for any other.

    Source: PUBLISHED_WATER. Reishi and other woody kinds hold less water than any of these: take their interval lightly.
    """
    low, high = FINAL_WATER_PCT
    water, source = PUBLISHED_WATER.get(species, (OTHER_KINDS_WATER_PCT, "all published kinds together"))
    known = species in PUBLISHED_WATER
    return DryDownPrior(
        fresh_water_pct=water,
        fresh_spread=SPREAD_OF_ONE_KIND if known else SPREAD_OF_OTHER_KINDS,
        final_low_pct=low,
        final_high_pct=high,
        basis="published water content" if known else "published water content of other kinds",
        source=source,
    )


@dataclass(frozen=True, kw_only=True)
class Expected:
    """What is expected of log figures before any of one's own: `centre`; `between`, how far farms' typical figures lie
    apart; `within`, how far one farm's batches do (both standard deviations); `worth`, how many batches' evidence on
    the latter it counts as.
    """

    centre: float
    between: float
    within: float
    worth: float


def shrunk(logs: Sequence[float], expected: Expected) -> tuple[float, float]:
    """Centre and half width of the 90 % interval for the NEXT batch's log figure, from one's own and the expected.

    The more of one's own, the less the expected counts: its share is within² / (within² + n between²). How far one's own
    batches lie apart is learnt too, from `within`. The interval is Student's, its degrees of freedom those of the
    learnt part (Satterthwaite). Source: normal-normal shrinkage, any textbook of Bayesian statistics.
    """
    n = len(logs)
    mean = sum(logs) / n if n else expected.centre
    freedom = expected.worth + max(n - 1, 0)
    apart = sum((log - mean) ** 2 for log in logs)
    within2 = (expected.worth * expected.within**2 + apart) / freedom
    between2 = expected.between**2
    own_share = n * between2 / (n * between2 + within2)
    centre = own_share * mean + (1 - own_share) * expected.centre
    variance = between2 * (1 - own_share) + within2
    return centre, student_half_width(freedom * (variance / within2) ** 2) * math.sqrt(variance)


def student_half_width(freedom: float) -> float:
    """Half width of the middle 90 % of Student's distribution, in its scale.

    Valid from 3 degrees of freedom up, there within 0.002.
    Source: the expansion in 1/freedom, Abramowitz & Stegun 26.7.5 (from memory), checked by adding up the density.
    """
    z = NINE_OF_TEN
    return (
        z
        + (z**3 + z) / (4 * freedom)
        + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * freedom**2)
        + (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / (384 * freedom**3)
        + (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / (92160 * freedom**4)
    )


def usable(label: str, estimate: Estimate) -> Estimate:
    """The estimate, if all of it is above 0 and in order. Raises NotANumber, BelowZero, IsZero, RangeUpsideDown."""
    value = above_zero(label, estimate.value)
    low, high = above_zero(f"lowest {label}", estimate.low), above_zero(f"highest {label}", estimate.high)
    if not low <= value <= high:
        raise RangeUpsideDown(
            f"The {label} {shown(estimate.value)} does not lie from {shown(estimate.low)} to {shown(estimate.high)}:"
            " check the three."
        )
    return estimate


def plain(value: float) -> str:
    """A figure as people write it: two decimals at most."""
    return f"{value:.2f}".rstrip("0").rstrip(".")
