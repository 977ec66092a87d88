"""How much oxygen a closed container holds, and how many absorbers take it up. It says nothing of whether to seal."""

import math

from harvestlog.calc.acceptable import above_zero, shown, zero_or_more
from harvestlog.calc.errors import Unacceptable

OXYGEN_SHARE = (
    0.2095  # of dry air by volume (facts of the trade; the standard atmosphere has 0.20946, from memory)
)


class OverFull(Unacceptable):
    """A fill that takes more room than the container has."""


def oxygen_ml(container_ml: float, fill_g: float = 0.0, bulk_density_g_ml: float = 1.0) -> float:
    """Millilitres of oxygen in a container of air, less the room its fill takes at a bulk density in g/mL.

    Leave the fill out: counting the whole container as air is the safe side. A bulk density counts the air between and
    inside the pieces as if it were mushroom, and dried mushrooms are mostly air, so with it the figure is too low.
    Valid at room temperature and pressure. Source: 0.2095 x air. Raises NotANumber, BelowZero, IsZero, OverFull.
    """
    container = above_zero("volume of the container", container_ml)
    taken = zero_or_more("fill", fill_g) / above_zero("bulk density", bulk_density_g_ml)
    if taken > container:
        raise OverFull(
            f"The fill, {shown(fill_g)} g, takes {taken:.0f} mL, more than the {shown(container_ml)} mL of the container:"
            " check both."
        )
    return OXYGEN_SHARE * (container - taken)


def absorbers_needed(oxygen_ml: float, absorber_ml: float) -> int:
    """Absorbers, each rated to take up absorber_ml of oxygen, for so many millilitres of oxygen; a part of one is one more.

    Valid for fresh absorbers: one that has lain open in air has already worked. Source: the rating is millilitres of
    oxygen, not of air (common practice, no source). Raises NotANumber, BelowZero, IsZero.
    """
    oxygen, one = zero_or_more("oxygen", oxygen_ml), above_zero("rating of one absorber", absorber_ml)
    return math.ceil(oxygen / one - 1e-9)  # 0.2095 x 2000 / 419 is a hair above 1 in a computer
