"""What falls due on a farm, from its records, each with the words to know it by. The phone does the same join."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from harvestlog.accounts.access import Member
from harvestlog.blocks.models import Place, Variety
from harvestlog.calc.due import BlockFacts, Due, Expected, ExtractFacts, Facts, JarFacts, LoadFacts, due
from harvestlog.calc.forecast import Crop, next_flush
from harvestlog.calc.states import Noted, PickedAt, Seen
from harvestlog.keeping.models import Drying, DryingPart, DryingWeighing, Extract, ExtractStep, Jar, Taking
from harvestlog.reports.pace import pin_days, prior_of
from harvestlog.reports.queries import Told, grouped, standing, told


@dataclass(frozen=True)
class Coming:
    """One thing due. name: what its record is called; about: what else tells it from others."""

    due: Due
    name: str
    about: tuple[str, ...] = ()


Named = tuple[str, tuple[str, ...]]
Known = Iterator[tuple[Facts, Named]]


def coming(member: Member, now: datetime, zone: ZoneInfo) -> list[Coming]:
    """Everything due on a farm, by day, in thirteen reads however much there is."""
    varieties = {row.uuid: row for row in standing(Variety, member)}
    places = {row.uuid: row.name for row in standing(Place, member)}
    blocks = told(member)
    names: dict[str, Named] = {}
    facts: list[Facts] = []
    for known in (
        _blocks(blocks, varieties, places, now, zone),
        _loads(member, blocks, varieties),
        _jars(member, places),
        _extracts(member),
    ):
        for fact, named in known:
            facts.append(fact)
            names[fact.key] = named
    return [Coming(one, *names[one.key]) for one in due(facts, now, lambda at: at.astimezone(zone).date())]


def _blocks(
    blocks: list[Told],
    varieties: Mapping[UUID, Variety],
    places: Mapping[UUID, str],
    now: datetime,
    zone: ZoneInfo,
) -> Known:
    crops = [one.crop(now, zone) for one in blocks]
    alike: defaultdict[str, list[Crop]] = defaultdict(list)
    for crop in crops:
        alike[crop.variety].append(crop)
    for one, crop in zip(blocks, crops, strict=True):
        variety = varieties.get(one.block.variety)
        species = variety.species if variety else ""
        facts = BlockFacts(
            key=str(one.block.uuid),
            happenings=[Noted(h.what, h.at, h.until) for h in one.happenings],
            picks=[PickedAt(pick.at, pick.flush) for pick in one.picks],
            photos=[Seen(photo.stage, photo.taken) for photo in one.photos],
            pin_days=pin_days(species),
            # A forecast reads all blocks of the variety: only of those that it is asked of.
            next=_expected(crop, alike[crop.variety], species) if one.state(now) == "resting" else None,
        )
        place = _place_now(one)
        about = variety.name if variety else "", places.get(place, "") if place else ""
        yield facts, (one.block.label, about)


def _expected(crop: Crop, alike: list[Crop], species: str) -> Expected | None:
    following = next_flush(crop, alike, prior_of(species))
    if following.first_day is None or following.chance_of_nothing is None:
        return None
    return Expected(first_day=following.first_day, chance_of_nothing=following.chance_of_nothing)


def _place_now(one: Told) -> UUID | None:
    """The last place it was moved to, else the one it was put in."""
    moves = sorted((h.at, h.uuid, h.place) for h in one.happenings if h.what == "moved" and h.place)
    return moves[-1][2] if moves else one.block.place


def _loads(member: Member, blocks: list[Told], varieties: Mapping[UUID, Variety]) -> Known:
    of_block = {one.block.uuid: one.block.variety for one in blocks}
    of_pick = {pick.uuid: of_block[one.block.uuid] for one in blocks for pick in one.picks}
    parts = grouped(standing(DryingPart, member).order_by("uuid"), "drying")
    weighings = grouped(standing(DryingWeighing, member).order_by("at", "uuid"), "drying")
    for row in standing(Drying, member):
        held = [of_pick.get(part.pick) if part.pick else part.variety for part in parts[row.uuid]]
        # A variety is named once, in the order it was put in.
        named = dict.fromkeys(varieties[each].name for each in held if each and each in varieties)
        facts = LoadFacts(
            key=str(row.uuid),
            ended=row.ended is not None,
            step_g=row.scale_step_g,
            weighings=[(weighing.at, weighing.mass_g) for weighing in _comparable(weighings[row.uuid])],
        )
        yield facts, (", ".join(named), ())


def _comparable(weighings: Sequence[DryingWeighing]) -> Sequence[DryingWeighing]:
    """A warm load reads light: as for the verdict, only cooled weighings count; of warm ones the last says when."""
    return [each for each in weighings if each.cooled] or weighings[-1:]


def _jars(member: Member, places: Mapping[UUID, str]) -> Known:
    takings = grouped(standing(Taking, member), "jar")
    for row in standing(Jar, member):
        facts = JarFacts(
            key=str(row.uuid),
            packed=row.packed,
            left_g=row.dry_g - sum(taking.mass_g for taking in takings[row.uuid]),
            best_before=row.best_before,
        )
        yield facts, (row.label, (row.what, places.get(row.place, "") if row.place else ""))


def _extracts(member: Member) -> Known:
    steps = grouped(standing(ExtractStep, member), "extract")
    for row in standing(Extract, member):
        facts = ExtractFacts(
            key=str(row.uuid),
            started=row.started,
            steep_low_days=row.steep_low_days,
            steep_high_days=row.steep_high_days,
            shake_days=row.shake_days,
            steps=[(step.what, step.at) for step in steps[row.uuid]],
        )
        yield facts, (row.name, ())
