"""How a grower's notes of an extract are read by its calculation."""

from collections.abc import Sequence
from dataclasses import dataclass

from harvestlog.calc.estimates import FRESH_WATER_PCT
from harvestlog.calc.extracts import TwoStage


@dataclass(frozen=True, kw_only=True)
class Brew:
    """What a grower noted of an extract: `mushroom` is "dried" or "fresh"; `steps` are (what, volume_ml) in the order of time."""

    mushroom: str
    mass_g: float
    spirit_ml: float
    spirit_pct: float
    fresh_water_low_pct: float | None
    fresh_water_high_pct: float | None
    steps: Sequence[tuple[str, float | None]]


def two_stage(brew: Brew) -> TwoStage:
    """An extract's notes as extracts.dual_extract takes them.

    Of several measured volumes of one stage the last stands, as a second straining is measured anew; no water stage yet
    is 0 mL. An end of the fresh water left empty is the usual one, or the other end where that lies beyond it.
    Source: our rule. Raises nothing: dual_extract judges the figures.
    """
    fresh = brew.mushroom == "fresh"
    low, high = brew.fresh_water_low_pct, brew.fresh_water_high_pct
    usual_low, usual_high = FRESH_WATER_PCT
    if low is None:
        low = usual_low if high is None else min(usual_low, high)
    if high is None:
        high = max(usual_high, low)
    return TwoStage(
        spirit_ml=brew.spirit_ml,
        spirit_pct_vol=brew.spirit_pct,
        water_stage_ml=_measured(brew, "boiled") or 0.0,
        dry_g=0.0 if fresh else brew.mass_g,
        fresh_g=brew.mass_g if fresh else 0.0,
        strained_ml=_measured(brew, "strained"),
        fresh_water_pct=(low, high),
    )


def _measured(brew: Brew, step: str) -> float | None:
    volumes = [volume for what, volume in brew.steps if what == step and volume is not None]
    return volumes[-1] if volumes else None
