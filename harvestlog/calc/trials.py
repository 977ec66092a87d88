"""What a soaking trial's weighings show: how much water dried mushrooms take up again, and how fast."""

from collections.abc import Sequence

from harvestlog.calc.acceptable import zero_or_more
from harvestlog.calc.estimates import FINAL_WATER_PCT, PUBLISHED_WATER
from harvestlog.calc.rehydration import (
    Peleg,
    coefficient_of_rehydration,
    fit_peleg,
    moisture_db,
    peleg_moisture_db,
    rehydration_ratio,
)

DRIED_WATER_PCT = sum(FINAL_WATER_PCT) / 2  # taken for the mushrooms of a soaking trial; no weight tells it


def trial_ratios(dry_g: float, weighings: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """(minutes, rehydration ratio) of each weighing (minutes, drained_g) of a soaking trial.

    Source: rehydration.rehydration_ratio. Raises what that raises, and BelowZero for minutes.
    """
    return [
        (zero_or_more("soaking time", minutes), rehydration_ratio(drained, dry_g))
        for minutes, drained in weighings
    ]


def trial_curve(
    dry_g: float, weighings: Sequence[tuple[float, float]], dried_water_pct: float = DRIED_WATER_PCT
) -> Peleg:
    """Peleg's curve through a soaking trial's weighings (minutes, drained_g), from the dried mass as its start.

    The dried mushrooms' own water is taken for granted; ratios read from the curve by ratio_at do not depend on it.
    Source: rehydration.fit_peleg. Raises what that and rehydration.moisture_db raise.
    """
    return fit_peleg(
        [minutes for minutes, _ in weighings],
        [moisture_db(drained, dry_g, dried_water_pct) for _, drained in weighings],
        moisture_db(dry_g, dry_g, dried_water_pct),
    )


def ratio_at(curve: Peleg, minutes: float, dried_water_pct: float = DRIED_WATER_PCT) -> float:
    """The rehydration ratio a trial's curve gives after so many minutes; take the dried_water_pct of the curve.

    Source: moisture_db turned round. Raises NotANumber, BelowZero.
    """
    return (peleg_moisture_db(curve, minutes) + 1) * (1 - dried_water_pct / 100)


def came_back(drained_g: float, dry_g: float, species: str) -> float | None:
    """Share of its fresh mass that a soaked mushroom has again; None where the species' fresh water is not published.

    The water of other kinds does not stand in: one point of it moves the share by a tenth. `species` is its catalogue key.
    Source: rehydration.coefficient_of_rehydration on estimates.PUBLISHED_WATER and DRIED_WATER_PCT. Raises what that raises.
    """
    if species not in PUBLISHED_WATER:
        return None
    fresh_water_pct, _ = PUBLISHED_WATER[species]
    return coefficient_of_rehydration(drained_g, dry_g, fresh_water_pct, DRIED_WATER_PCT)
