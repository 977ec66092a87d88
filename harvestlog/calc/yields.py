"""What a block gave, against what went into it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from harvestlog.calc.acceptable import (
    above_zero,
    grams_by_flush,
    moisture,
    moisture_range,
    result,
    zero_or_more,
)
from harvestlog.calc.errors import BasisIncomplete, NothingPicked, UnknownBasis

BasisKind = Literal["none", "stated", "oven", "measured", "assumed"]


@dataclass(frozen=True, kw_only=True)
class Basis:
    """How the dry mass of a block is known: `kind` says which of the other fields are filled in.

    stated, oven: dry_g. measured: wet_g and moisture_pct. assumed: wet_g and the two ends of a moisture range.
    """

    kind: BasisKind
    dry_g: float | None = None
    wet_g: float | None = None
    moisture_pct: float | None = None
    moisture_low_pct: float | None = None
    moisture_high_pct: float | None = None


def dry_substrate_g(wet_g: float, moisture_pct: float) -> float:
    """Dry mass of a block, in grams, from its wet mass in grams and its moisture in % of the wet mass.

    Valid for a wet mass above 0 and a moisture from 0 up to, but not at, 100 %.
    Source: definition of moisture on the wet basis.
    Raises NotANumber, BelowZero, IsZero, MoistureOutOfRange.
    """
    return above_zero("wet mass", wet_g) * (100 - moisture("moisture", moisture_pct)) / 100


def biological_efficiency_pct(fresh_g: float, dry_substrate_g: float) -> float:
    """Fresh grams picked, all flushes summed, per 100 g of dry substrate.

    Valid for any harvest from 0 up; above 100 % is usual and above 200 % has been published.
    Source: the trade's definition, checked against Jatwa et al. 2016, J Pure Appl Microbiol 10(4):2783-2792.
    Raises NotANumber, BelowZero, IsZero, OutOfReach.
    """
    fresh, dry = zero_or_more("fresh mass", fresh_g), above_zero("dry substrate", dry_substrate_g)
    return result("biological efficiency", 100 * fresh / dry)


def biological_efficiency_range_pct(
    fresh_g: float, wet_g: float, moisture_low_pct: float, moisture_high_pct: float
) -> tuple[float, float]:
    """Lowest and highest biological efficiency, in %, of a block whose moisture is only assumed as a range.

    The low end belongs to the lowest moisture: the drier the block was, the more dry substrate it held.
    Valid for moistures from 0 up to, but not at, 100 %, low not above high. Source: the two definitions above.
    Raises NotANumber, BelowZero, IsZero, MoistureOutOfRange, RangeUpsideDown, OutOfReach.
    """
    low_pct, high_pct = moisture_range(moisture_low_pct, moisture_high_pct)
    return (
        biological_efficiency_pct(fresh_g, dry_substrate_g(wet_g, low_pct)),
        biological_efficiency_pct(fresh_g, dry_substrate_g(wet_g, high_pct)),
    )


def yield_g_per_kg_wet(fresh_g: float, wet_g: float) -> float:
    """Fresh grams picked per kilogram of block as it arrived, water included; both masses in grams.

    Valid for any harvest from 0 up; needs no dry basis, so it compares blocks of one kind of substrate only.
    Source: common practice, no source. Raises NotANumber, BelowZero, IsZero, OutOfReach.
    """
    fresh, wet = zero_or_more("fresh mass", fresh_g), above_zero("wet mass", wet_g)
    return result("yield per kilogram", 1000 * fresh / wet)


def production_rate_pct_per_day(be_pct: float, days: float) -> float:
    """Biological efficiency, in %, per day of growing; whoever shows it says what day zero is.

    Valid for more than 0 days. Source: Shen & Royse 2001, Appl Microbiol Biotechnol 57:74 (47.1 % in 12 weeks).
    Raises NotANumber, BelowZero, IsZero, OutOfReach.
    """
    efficiency, time = zero_or_more("biological efficiency", be_pct), above_zero("number of days", days)
    return result("production rate", efficiency / time)


def flush_shares(picks_g_by_flush: Mapping[int, float]) -> dict[int, float]:
    """Share of each flush in the whole harvest, 0 to 1, from grams by flush number.

    Valid as soon as something was picked; the shares sum to 1. Source: definition.
    Raises NotANumber, BelowZero, NotAFlush, NothingPicked, OutOfReach.
    """
    grams = grams_by_flush(picks_g_by_flush)
    total = result("whole harvest", sum(grams.values()))
    if total == 0:
        raise NothingPicked("All flushes together weigh 0 g: there are no shares before the first pick.")
    return {flush: mass / total for flush, mass in grams.items()}


def block_efficiency(fresh_g: float, basis: Basis) -> tuple[float, float] | None:
    """Lowest and highest biological efficiency, in %, that a block's dry basis allows; None when it has none.

    Both ends are equal unless the moisture is assumed. Source: the definitions above.
    Raises UnknownBasis, BasisIncomplete and what those definitions raise.
    """
    match basis.kind:
        case "none":
            return None
        case "stated" | "oven":
            dry = _there(basis, "dry_g", basis.dry_g)
        case "measured":
            wet = _there(basis, "wet_g", basis.wet_g)
            dry = dry_substrate_g(wet, _there(basis, "moisture_pct", basis.moisture_pct))
        case "assumed":
            return biological_efficiency_range_pct(
                fresh_g,
                _there(basis, "wet_g", basis.wet_g),
                _there(basis, "moisture_low_pct", basis.moisture_low_pct),
                _there(basis, "moisture_high_pct", basis.moisture_high_pct),
            )
        case other:
            raise UnknownBasis(f"{other!r} is no dry basis: use none, stated, oven, measured or assumed.")
    efficiency = biological_efficiency_pct(fresh_g, dry)
    return efficiency, efficiency


def _there(basis: Basis, field: str, value: float | None) -> float:
    if value is None:
        raise BasisIncomplete(f'The dry basis "{basis.kind}" needs {field}: fill it in, or choose "none".')
    return value
