"""Joins a farm's records to the comparison of its suppliers, and hands its answer back in the records' own ids."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID
from zoneinfo import ZoneInfo

from harvestlog.accounts.access import Member
from harvestlog.blocks.models import Delivery, Supplier, Variety
from harvestlog.calc.comparison.answer import Comparison
from harvestlog.calc.comparison.blocks import Bought
from harvestlog.calc.estimates import published_prior
from harvestlog.calc.ranges import Range
from harvestlog.calc.suppliers import compare
from harvestlog.reports.comparison.loads import loads_of
from harvestlog.reports.names import Named, told_apart
from harvestlog.reports.queries import Told, standing, told, weighable
from harvestlog.reports.usual import usual_range

if TYPE_CHECKING:
    from harvestlog.calc.comparison.priors import Priors


@dataclass(frozen=True)
class VarietyCompared:
    id: UUID
    name: str
    blocks: int


@dataclass(frozen=True)
class Compared:
    """The comparison's answer, with what its names stand for in the records."""

    comparison: Comparison
    varieties: Sequence[VarietyCompared]
    supplier_of: Mapping[str, UUID]
    told_of: Mapping[str, Told]
    troubles: Sequence[str]


@dataclass(frozen=True)
class _Farm:
    """What a farm's blocks refer to, under names that are told apart."""

    suppliers: Mapping[UUID, str]
    varieties: Mapping[UUID, str]
    species: Mapping[str, str]


def compared(member: Member, variety: UUID | None, now: datetime, zone: ZoneInfo) -> Compared | None:
    """All suppliers against each other, over all blocks or those of one variety; None when the farm has no such variety."""
    blocks = told(member, photos=False)
    farm = _farm(member, blocks)
    if variety is not None and variety not in farm.varieties:
        return None
    known = [each for each in blocks if each.delivery and each.delivery.supplier in farm.suppliers]
    counts = Counter(each.block.variety for each in known)
    wanted = [each for each in blocks if variety in (None, each.block.variety)]
    chosen = [each for each in known if variety in (None, each.block.variety)]
    bought = [_bought(each, farm, now, zone) for each in chosen]
    loads = loads_of(member, blocks, chosen, farm.varieties)
    priced = any(each.price for each in bought)
    return Compared(
        comparison=compare(bought, _priors(farm), now.astimezone(zone).date(), loads.of_one_variety),
        varieties=[VarietyCompared(id, farm.varieties[id], n) for id, n in counts.most_common()],
        supplier_of={name: id for id, name in farm.suppliers.items()},
        told_of={str(each.block.uuid): each for each in chosen},
        troubles=[*_without_supplier(len(wanted) - len(chosen)), *(loads.troubles() if priced else ())],
    )


def _farm(member: Member, blocks: Iterable[Told]) -> _Farm:
    suppliers = [Named(row.uuid, row.name, row.contact) for row in standing(Supplier, member).order_by("seq")]
    varieties = list(standing(Variety, member).order_by("seq"))
    kept = {row.uuid for row in varieties}
    # A variety may have been deleted, or not have arrived yet: its blocks are still of one kind.
    gone = dict.fromkeys(each.block.variety for each in blocks if each.block.variety not in kept)
    names = told_apart(
        [Named(row.uuid, row.name, row.strain) for row in varieties]
        + [Named(id, "A variety that is not on record") for id in gone]
    )
    return _Farm(
        suppliers=told_apart(suppliers),
        varieties=names,
        species={names[row.uuid]: row.species for row in varieties},
    )


def _bought(each: Told, farm: _Farm, now: datetime, zone: ZoneInfo) -> Bought:
    assert each.delivery is not None  # noqa: S101  # `compared` left the others out
    return Bought(
        key=str(each.block.uuid),
        supplier=farm.suppliers[each.delivery.supplier],
        grown=replace(weighable(each.grown(now, zone)), variety=farm.varieties[each.block.variety]),
        lot=str(each.delivery.uuid),
        price=price_of_a_block(each.delivery),
        currency=each.delivery.currency,
    )


def price_of_a_block(delivery: Delivery) -> float | None:
    """The delivery's price over the number of blocks written on it, opened or not."""
    return None if delivery.price is None else float(delivery.price / delivery.count)


def _priors(farm: _Farm) -> "Priors":
    from harvestlog.calc.comparison.priors import Priors  # loads numpy, as comparing does

    return Priors(
        yield_g_per_kg_wet=_ranges(farm, "yield_g_per_kg_wet"),
        efficiency_pct=_ranges(farm, "be_pct"),
        dry_down={name: published_prior(species) for name, species in farm.species.items()},
    )


def _ranges(farm: _Farm, fact: str) -> dict[str, Range]:
    found = {name: usual_range(species, fact) for name, species in farm.species.items()}
    return {name: range_ for name, range_ in found.items() if range_ is not None}


def _without_supplier(n: int) -> list[str]:
    blocks = f"{n} block" if n == 1 else f"{n} blocks"
    words = "no supplier on record, so nobody is judged by them: add the delivery they came with."
    return [f"{blocks} with {words}"] if n else []
