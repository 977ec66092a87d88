"""What a pick dries down to."""

from harvestlog.calc.acceptable import above_zero, moisture, result, shown
from harvestlog.calc.errors import DryAboveWet, WetterThanFresh

# Dry over fresh outside these is worth a second look, never a refusal (common practice, no source).
# Fresh mushrooms of the trade hold 88 to 93 % water (USDA Standard Reference, NDB 11238, 11260, 11950, 11987, 11993).
DRY_SHARE_LOW = 0.05
DRY_SHARE_HIGH = 0.20


def dry_down_ratio(wet_g: float, dry_g: float) -> float:
    """How many grams of fresh mushrooms went into one gram of dried ones.

    Valid for masses above 0, the dry one not above the wet one. Source: definition.
    Raises NotANumber, BelowZero, IsZero, DryAboveWet, OutOfReach.
    """
    wet, dry = above_zero("wet mass", wet_g), above_zero("dry mass", dry_g)
    if dry > wet:
        raise DryAboveWet(
            f"The dry mass, {shown(dry_g)} g, is above the wet mass, {shown(wet_g)} g:"
            " check both weights, they may be swapped."
        )
    return result("dry-down ratio", wet / dry)


def dry_down_from_water(fresh_water_pct: float, final_water_pct: float) -> float:
    """Dry-down ratio expected from the water content before and after drying, both in % of the mass they are in.

    Valid from 0 up to, but not at, 100 %, final not above fresh; at 90 % one point of fresh water moves it by 11 %.
    Source: the dry matter is the same before and after. It cannot be turned round: no weight tells the final water.
    Raises NotANumber, MoistureOutOfRange, WetterThanFresh, OutOfReach.
    """
    fresh, final = (
        moisture("fresh water content", fresh_water_pct),
        moisture("final water content", final_water_pct),
    )
    if final > fresh:
        raise WetterThanFresh(
            f"The final water content, {shown(final_water_pct)} %, is above the fresh one,"
            f" {shown(fresh_water_pct)} %: swap them."
        )
    return result("dry-down ratio", (100 - final) / (100 - fresh))


def plausible_dry_share(wet_g: float, dry_g: float) -> bool:
    """Whether the dried mass is 5 to 20 % of the fresh one, both in grams; otherwise ask "check this weight?".

    Valid for masses above 0; False, not an error, when the dry mass is above the wet one.
    Source: common practice, no source. Raises NotANumber, BelowZero, IsZero, OutOfReach.
    """
    wet, dry = above_zero("wet mass", wet_g), above_zero("dry mass", dry_g)
    return DRY_SHARE_LOW <= result("dry share", dry / wet) <= DRY_SHARE_HIGH
