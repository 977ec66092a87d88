"""What each pick weighed dried: as weighed by itself, else its share of the loads it lay in."""

from collections import defaultdict
from collections.abc import Mapping
from uuid import UUID

from harvestlog.accounts.access import Member
from harvestlog.calc.drying import allocate_dry_g
from harvestlog.calc.errors import Unacceptable
from harvestlog.keeping.models import Drying, DryingPart
from harvestlog.reports.queries import grouped, standing


def dried_shares(member: Member) -> Mapping[UUID, float]:
    """Dried grams by pick, allocated from finished loads by fresh mass: shares of a weighing, never weighings.

    A load that weighs more dried than fresh tells nothing.
    """
    parts = grouped(standing(DryingPart, member), "drying")
    found: defaultdict[UUID, float] = defaultdict(float)
    for load in standing(Drying, member).filter(dry_g__isnull=False):
        theirs = parts[load.uuid]
        try:
            shares = allocate_dry_g({str(part.uuid): part.wet_g for part in theirs}, load.dry_g)
        except Unacceptable:
            continue
        for part in theirs:
            if part.pick is not None:
                found[part.pick] += shares[str(part.uuid)]
    return found
