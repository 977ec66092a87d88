"""What was kept of the crop, read and joined for the calculations. The phone does the same join; both must come to the same figures."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property, partial
from uuid import UUID

from harvestlog.accounts.access import Member
from harvestlog.blocks.models import Block, Variety
from harvestlog.calc.brews import Brew
from harvestlog.calc.estimates import Estimate
from harvestlog.calc.loads import LoadWeighing, dry_down_from
from harvestlog.calc.runs import DriedPick, Load, Part, Runs, sorted_runs
from harvestlog.harvests.models import Pick
from harvestlog.keeping.models import (
    Drying,
    DryingPart,
    DryingWeighing,
    Extract,
    ExtractStep,
    Jar,
    Taking,
    Trial,
    TrialWeighing,
)
from harvestlog.reports.queries import grouped, standing


@dataclass(frozen=True)
class LoadTold:
    """A load with its parts under their ids, as `load` has them in the same order, and its weighings, oldest first."""

    drying: Drying
    parts: dict[str, Part]
    load: Load
    weighings: list[LoadWeighing]


@dataclass(frozen=True)
class JarTold:
    jar: Jar
    variety: str | None
    load: Load | None  # it was filled from
    takings_g: list[float]


@dataclass(frozen=True)
class TrialTold:
    trial: Trial
    variety: str | None  # its own, else the jar's
    weighings: list[tuple[float, float]]  # minutes and drained grams, by minutes


@dataclass(frozen=True)
class ExtractTold:
    extract: Extract
    brew: Brew


@dataclass(frozen=True)
class Kept:
    """Everything kept on a farm; `species` gives the catalogue key of each of its varieties, `runs` how they dried down."""

    species: dict[str, str]
    loads: list[LoadTold]
    runs: Runs
    jars: list[JarTold]
    trials: list[TrialTold]
    extracts: list[ExtractTold]

    @cached_property
    def ratio(self) -> Callable[[str | None, str | None], Estimate]:
        """The dry-down of a variety by a method. Many jars ask for the same one: each is reckoned once."""
        return cache(partial(dry_down_from, self.runs, self.species))


def kept(member: Member) -> Kept:
    """All that stands of a farm's keeping, in twelve reads however much there is."""
    species = {str(row.uuid): row.species for row in standing(Variety, member).order_by("seq")}
    variety_of = _varieties_of_picks(member, species)
    jars = list(standing(Jar, member).order_by("seq"))
    loads = _loads(member, species, variety_of)
    own = {row.uuid: _known(row.variety, species) for row in jars}
    picks = [
        DriedPick(id=str(row.uuid), variety=variety, wet_g=row.wet_g, dry_g=row.dry_g)
        for row in standing(Pick, member).exclude(dry_g=None).order_by("seq")
        if (variety := variety_of.get(row.uuid)) is not None
    ]
    return Kept(
        species=species,
        loads=loads,
        runs=sorted_runs([told.load for told in loads], picks),
        jars=_jars(member, jars, own, {told.drying.uuid: told.load for told in loads}),
        trials=_trials(member, species, own),
        extracts=_extracts(member),
    )


def _varieties_of_picks(member: Member, species: dict[str, str]) -> dict[UUID, str | None]:
    blocks = dict(standing(Block, member).values_list("uuid", "variety"))
    picks = standing(Pick, member).values_list("uuid", "block")
    return {pick: _known(blocks.get(block), species) for pick, block in picks}


def _known(variety: UUID | None, species: dict[str, str]) -> str | None:
    """A variety that still stands; one that was deleted is none."""
    return str(variety) if str(variety) in species else None


def _loads(member: Member, species: dict[str, str], variety_of: dict[UUID, str | None]) -> list[LoadTold]:
    parts = grouped(standing(DryingPart, member).order_by("uuid"), "drying")
    weighings = grouped(standing(DryingWeighing, member).order_by("at", "uuid"), "drying")
    found = []
    for row in standing(Drying, member).order_by("seq"):
        inside = {
            str(part.uuid): Part(
                pick=str(part.pick) if part.pick else None,
                variety=variety_of.get(part.pick) or _known(part.variety, species),
                wet_g=part.wet_g,
            )
            for part in parts[row.uuid]
        }
        load = Load(id=str(row.uuid), method=row.method, parts=list(inside.values()), dry_g=row.dry_g)
        found.append(LoadTold(row, inside, load, [_weighing(row, each) for each in weighings[row.uuid]]))
    return found


def _weighing(drying: Drying, row: DryingWeighing) -> LoadWeighing:
    minutes = (row.at - drying.started).total_seconds() / 60
    return LoadWeighing(minutes=minutes, mass_g=row.mass_g, cooled=row.cooled)


def _jars(
    member: Member, jars: list[Jar], own: dict[UUID, str | None], loads: dict[UUID, Load]
) -> list[JarTold]:
    takings = grouped(standing(Taking, member).order_by("at", "uuid"), "jar")
    return [
        JarTold(
            row,
            own[row.uuid],
            loads.get(row.drying) if row.drying else None,
            [taking.mass_g for taking in takings[row.uuid]],
        )
        for row in jars
    ]


def _trials(member: Member, species: dict[str, str], own: dict[UUID, str | None]) -> list[TrialTold]:
    weighings = grouped(standing(TrialWeighing, member).order_by("minutes", "uuid"), "trial")
    return [
        TrialTold(
            row,
            # A variety that is named goes before the jar's, even where it stands no longer.
            _known(row.variety, species) if row.variety else own.get(row.jar),
            [(each.minutes, each.drained_g) for each in weighings[row.uuid]],
        )
        for row in standing(Trial, member).order_by("seq")
    ]


def _extracts(member: Member) -> list[ExtractTold]:
    steps = grouped(standing(ExtractStep, member).order_by("at", "uuid"), "extract")
    return [
        ExtractTold(
            row,
            Brew(
                mushroom=row.mushroom,
                mass_g=row.mass_g,
                spirit_ml=row.spirit_ml,
                spirit_pct=row.spirit_pct,
                fresh_water_low_pct=row.fresh_water_low_pct,
                fresh_water_high_pct=row.fresh_water_high_pct,
                steps=[(step.what, step.volume_ml) for step in steps[row.uuid]],
            ),
        )
        for row in standing(Extract, member).order_by("seq")
    ]
