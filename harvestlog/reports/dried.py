"""What each pick weighed dried: as weighed by itself, else its share of the loads it lay in."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from uuid import UUID

from harvestlog.accounts.access import Member
from harvestlog.calc.drying import allocate_dry_g
from harvestlog.calc.errors import Unacceptable
from harvestlog.keeping.models import Drying, DryingPart
from harvestlog.reports.queries import grouped, standing


@dataclass(frozen=True)
class Shared:
    """A part of a finished load: what went in, its fresh grams as weighed, and its share of the load's dried grams.

    `variety` is what was noted of mushrooms from elsewhere; a pick's own is that of its block.
    """

    pick: UUID | None
    variety: UUID | None
    wet_g: float
    dry_g: float


def shares_of_loads(member: Member) -> Iterator[list[Shared]]:
    """The parts of each finished load, dried grams allocated by fresh mass: shares of a weighing, never weighings.

    A load that weighs more dried than fresh tells nothing and is left out.
    """
    parts = grouped(standing(DryingPart, member).order_by("uuid"), "drying")
    for load in standing(Drying, member).filter(dry_g__isnull=False).order_by("seq"):
        theirs = parts[load.uuid]
        try:
            shares = allocate_dry_g({str(part.uuid): part.wet_g for part in theirs}, load.dry_g)
        except Unacceptable:
            continue
        yield [Shared(part.pick, part.variety, part.wet_g, shares[str(part.uuid)]) for part in theirs]


def dried_shares(member: Member) -> Mapping[UUID, float]:
    """Dried grams by pick, from all loads a pick lay in."""
    found: defaultdict[UUID, float] = defaultdict(float)
    for load in shares_of_loads(member):
        for part in load:
            if part.pick is not None:
                found[part.pick] += part.dry_g
    return found
