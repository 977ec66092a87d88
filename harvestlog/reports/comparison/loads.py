"""What the loads in the dryer tell of the compared varieties: most picks are dried together and never weighed dry alone."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from uuid import UUID

from harvestlog.accounts.access import Member
from harvestlog.reports.dried import Shared, shares_of_loads
from harvestlog.reports.queries import Told

if TYPE_CHECKING:
    from harvestlog.calc.comparison.dried import DriedLoad


@dataclass
class Loads:
    """mixed: loads with compared picks that are not of one known variety alone, and so tell no variety's dry-down."""

    of_one_variety: list["DriedLoad"] = field(default_factory=list)
    mixed: int = 0

    def troubles(self) -> list[str]:
        if not self.mixed:
            return []
        loads, them = ("1 load", "it") if self.mixed == 1 else (f"{self.mixed} loads", "them")
        return [f"{loads} not of one variety alone: the dried prices leave {them} out. Dry varieties apart."]


def loads_of(
    member: Member, blocks: Sequence[Told], compared: Sequence[Told], names: Mapping[UUID, str]
) -> Loads:
    """The finished loads that hold picks of the compared blocks; `blocks` are all, as any may lie beside them."""
    from harvestlog.calc.comparison.dried import DriedLoad  # loads numpy, as comparing does

    variety_of = {pick.uuid: each.block.variety for each in blocks for pick in each.picks}
    # A pick's own dried weight goes before its share, as in a season.
    wanted = {pick.uuid for each in compared for pick in each.picks if pick.dry_g is None}
    found = Loads()
    for load in shares_of_loads(member):
        inside = [part for part in load if part.pick in wanted]
        if not inside:
            continue
        varieties = {_variety(part, variety_of) for part in load}
        only = varieties.pop() if len(varieties) == 1 else None
        if only is None or only not in names:
            found.mixed += 1
            continue
        wet_g, dry_g = sum(part.wet_g for part in inside), sum(part.dry_g for part in inside)
        found.of_one_variety.append(DriedLoad(variety=names[only], wet_g=wet_g, dry_g=dry_g))
    return found


def _variety(part: Shared, of_picks: Mapping[UUID, UUID]) -> UUID | None:
    return of_picks.get(part.pick, part.variety) if part.pick else part.variety
