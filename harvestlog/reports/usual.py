"""What the catalogue says is usual of a species, as the comparison takes it before a farm's own blocks have spoken."""

from harvestlog.blocks.catalogue import load_catalogue
from harvestlog.calc.ranges import Range

# As the comparison treats the trade's 150 to 300 g per kg, so every range of a species: widened by as much, for the
# farms that those who give a range leave out; and twice as wide as its one end where the other is not given
# (judgement, no source).
_LOWER, _HIGHER, _APART = 100 / 150, 350 / 300, 300 / 150


def usual_range(species: str, fact: str) -> Range | None:
    """Nine farms in ten lie within, by catalogue key and name of the fact; None where it says nothing.

    From published figures and common practice; what is only from memory is no ground to judge suppliers on.
    """
    known = load_catalogue().species.get(species)
    facts = [row for row in known.facts.get(fact, ()) if row.kind != "memory"] if known else []
    lows = [row.low for row in facts if row.low]
    highs = [row.high for row in facts if row.high]
    if not lows and not highs:
        return None
    low = min(lows) if lows else max(highs) / _APART
    high = max(highs) if highs else low * _APART
    return Range(low * _LOWER, high * _HIGHER)
