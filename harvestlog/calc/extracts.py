"""The strength of a two-stage extract, spirit first and then water; what it takes of spirit and water is `spirit`'s."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from harvestlog.calc.acceptable import above_zero, moisture_range, shown, zero_or_more
from harvestlog.calc.errors import RangeUpsideDown, Unacceptable
from harvestlog.calc.estimates import FRESH_WATER_PCT, Estimate, plain
from harvestlog.calc.spirit import (
    OIML_R22,
    DensityFormula,
    Liquid,
    NotAStrength,
    StrengthOutOfRange,
    StrengthOutOfReach,
    density_kg_m3,
    mass_fraction_from_strength,
    mix,
    read_strength,
    spirit_for,
    strength,
    strength_from_mass_fraction,
    strength_from_proof,
    water_for,
)

# What is asked of spirit alone is found here as well.
__all__ = [
    "FRESH_WATER_PCT",
    "HELD_ML_PER_G",
    "KEPT_SHARE",
    "OIML_R22",
    "USUAL_PCT_VOL",
    "DensityFormula",
    "DualExtract",
    "Liquid",
    "NotAStrength",
    "NothingToStrain",
    "StrainedAboveSteeped",
    "StrengthOutOfRange",
    "StrengthOutOfReach",
    "TwoStage",
    "density_kg_m3",
    "dual_extract",
    "mass_fraction_from_strength",
    "mix",
    "read_strength",
    "spirit_for",
    "strength",
    "strength_from_mass_fraction",
    "strength_from_proof",
    "water_for",
]

# What makers usually bottle at: a setting, not a rule (common practice, no source).
USUAL_PCT_VOL = (25.0, 30.0)
# Liquid that stays in pressed mushrooms, in mL per gram of their dry matter (our assumption, no source).
HELD_ML_PER_G = (1.0, 3.0)
# Share of its alcohol that stays through 2½ hours and 30 minutes of simmering: USDA Table of Nutrient Retention
# Factors, Release 6 (2007), as quoted; measured on food in a pan, not on mushrooms.
KEPT_SHARE = (0.05, 0.35)
A_DRIP = 0.01  # of the liquid comes off even where the mushrooms are taken to hold all of it
JUG_SHARE = 0.02  # a kitchen jug may be out by so much before it is asked back (our rule)


class NothingToStrain(Unacceptable):
    """Mushrooms that would hold all of the spirit."""


class StrainedAboveSteeped(Unacceptable):
    """More strained off than went in."""


@dataclass(frozen=True, kw_only=True)
class TwoStage:
    """What goes into a two-stage extract, volumes in mL at room temperature: spirit over dried or fresh mushrooms (or both),
    then the strained water stage. `strained_ml` is what was strained off the spirit, None before.
    """

    spirit_ml: float
    spirit_pct_vol: float
    water_stage_ml: float
    dry_g: float = 0.0
    fresh_g: float = 0.0
    strained_ml: float | None = None
    fresh_water_pct: tuple[float, float] = FRESH_WATER_PCT
    held_ml_per_g: tuple[float, float] = HELD_ML_PER_G


@dataclass(frozen=True, kw_only=True)
class DualExtract:
    """Estimates, all of them: the spirit stage with the mushrooms' water in it, what is strained off, the two joined, and
    what brings that to the setting: spirit up to its lower end, water down to its upper one. low and high are the ends
    the assumptions allow, no 90 % interval.
    """

    steeped_ml: Estimate
    steeped_pct_vol: Estimate
    strained_ml: Estimate
    joined_ml: Estimate
    joined_pct_vol: Estimate
    spirit_still_ml: Estimate
    water_still_ml: Estimate
    assumptions: tuple[str, ...]


def dual_extract(batch: TwoStage, target_pct_vol: tuple[float, float] = USUAL_PCT_VOL) -> DualExtract:
    """Expected volumes and strengths of a two-stage extract, and what still brings it to a setting in % by volume.

    Valid as far as its `assumptions` hold, sentences to show beside it. Source: OIML R 22 and the mushrooms' own water;
    each value takes the middle of every assumption.
    Raises NothingToStrain, StrainedAboveSteeped, StrengthOutOfReach, RangeUpsideDown, MoistureOutOfRange, as mix does.
    """
    above_zero(
        "mass of the mushrooms",
        zero_or_more("dry mass", batch.dry_g) + zero_or_more("fresh mass", batch.fresh_g),
    )
    lowest, highest = _range("target strength", target_pct_vol)
    cases = _cases(batch)
    return DualExtract(
        steeped_ml=_estimate(batch, [case.steeped[0] for case in cases]),
        steeped_pct_vol=_estimate(batch, [case.steeped[1] for case in cases]),
        strained_ml=_estimate(batch, [case.strained_ml for case in cases]),
        joined_ml=_estimate(batch, [case.joined[0] for case in cases]),
        joined_pct_vol=_estimate(batch, [case.joined[1] for case in cases]),
        spirit_still_ml=_estimate(
            batch, [spirit_for(*case.joined, batch.spirit_pct_vol, lowest) for case in cases]
        ),
        water_still_ml=_estimate(
            batch, [water_for(*case.joined, min(highest, case.joined[1])) for case in cases]
        ),
        assumptions=_assumptions(batch),
    )


class _Case(NamedTuple):
    steeped: Liquid
    strained_ml: float
    joined: Liquid


def _cases(batch: TwoStage) -> list[_Case]:
    """The middle of every assumption, then all their ends together."""
    waters = moisture_range(*batch.fresh_water_pct)
    helds = _range("liquid held per gram", batch.held_ml_per_g)
    likely = _joined(batch, sum(waters) / 2, sum(helds) / 2, sum(KEPT_SHARE) / 2)
    _strained_well(batch, likely, _joined(batch, waters[1], helds[0], KEPT_SHARE[0]))
    return [likely, *(_joined(batch, w, h, kept) for w in waters for h in helds for kept in KEPT_SHARE)]


def _joined(batch: TwoStage, water_pct: float, held_ml_per_g: float, kept_share: float) -> _Case:
    """One case: fresh mushrooms of this water content, so much liquid held, and this share of its alcohol in the water stage."""
    own_water_ml = batch.fresh_g * water_pct / 100 / density_kg_m3(0, 20) * 1000
    steeped = mix([(above_zero("spirit", batch.spirit_ml), batch.spirit_pct_vol), (own_water_ml, 0)])
    held_ml = held_ml_per_g * (batch.dry_g + batch.fresh_g * (1 - water_pct / 100))
    strained_ml = max(steeped[0] - held_ml, A_DRIP * steeped[0])
    if batch.strained_ml is not None:
        strained_ml = above_zero("strained volume", batch.strained_ml)
    held_ml = max(0.0, steeped[0] - strained_ml)
    water_ml = zero_or_more("water stage", batch.water_stage_ml)
    alcohol_pct = min(steeped[1], kept_share * held_ml * steeped[1] / water_ml) if water_ml else 0.0
    return _Case(steeped, strained_ml, mix([(strained_ml, steeped[1]), (water_ml, alcohol_pct)]))


def _strained_well(batch: TwoStage, likely: _Case, wettest: _Case) -> None:
    if likely.strained_ml <= A_DRIP * likely.steeped[0] and batch.strained_ml is None:
        raise NothingToStrain(
            f"So many mushrooms would hold all of the {plain(likely.steeped[0])} mL: take more spirit, or write down"
            " what you strain off."
        )
    if batch.strained_ml is not None and batch.strained_ml > (1 + JUG_SHARE) * wettest.steeped[0]:
        raise StrainedAboveSteeped(
            f"The strained volume, {plain(batch.strained_ml)} mL, is above the {plain(wettest.steeped[0])} mL that spirit"
            " and mushrooms can give: check both volumes."
        )


def _assumptions(batch: TwoStage) -> tuple[str, ...]:
    said = ["Calculated for spirit and water at 20 °C: what dissolves out of the mushrooms is not counted."]
    if batch.dry_g > 0:
        said.append("Dried mushrooms are taken to bring no water.")
    if batch.fresh_g > 0:
        low, high = batch.fresh_water_pct
        said.append(
            f"Fresh mushrooms are taken to hold {plain(low)} to {plain(high)} % water, all of it in the spirit."
        )
    if batch.strained_ml is None:
        low, high = batch.held_ml_per_g
        said.append(
            f"Each gram of dry mushroom is taken to hold back {plain(low)} to {plain(high)} mL: measure what you strain off."
        )
    least, most = (plain(100 * share) for share in KEPT_SHARE)
    said.append(
        f"Of the alcohol held back, {least} to {most} % is taken to stay through the boiling of the water stage."
    )
    return tuple(said)


def _range(label: str, ends: tuple[float, float]) -> tuple[float, float]:
    low, high = zero_or_more(f"lowest {label}", ends[0]), zero_or_more(f"highest {label}", ends[1])
    if low > high:
        raise RangeUpsideDown(
            f"The lowest {label}, {shown(ends[0])}, is above the highest, {shown(ends[1])}: swap them."
        )
    return low, high


def _estimate(batch: TwoStage, cases: Sequence[float]) -> Estimate:
    measured = "what was strained off" if batch.strained_ml is not None else "what went in"
    return Estimate(value=cases[0], low=min(cases), high=max(cases), n=0, basis=f"calculated from {measured}")
