"""What a yield report says of one block."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import NamedTuple
from uuid import UUID
from zoneinfo import ZoneInfo

from harvestlog.blocks.models import Happening
from harvestlog.calc.errors import Unacceptable
from harvestlog.calc.figures import BlockFigures, Grown, block_figures
from harvestlog.calc.yields import Basis, dry_substrate_g
from harvestlog.harvests.models import Pick
from harvestlog.reports.queries import Told
from harvestlog.reports.supplier_report.rooms import Stay, ended_at
from harvestlog.reports.supplier_report.shape import (
    BasisSeen,
    BlockSeen,
    ContaminationSeen,
    FlushSeen,
    Handling,
    Outcome,
    SoakSeen,
)


class Circumstances(NamedTuple):
    """What all blocks of a report share: its moment, its calendar, and the letters of the places."""

    now: datetime
    zone: ZoneInfo
    letters: dict[UUID, str]


def block_seen(one: Told, variety: str, places: Sequence[Stay], of: Circumstances) -> BlockSeen:
    """Raises what block_figures raises for an impossible pick; the records' forms let none in."""
    grown = _without_dried(one.grown(of.now, of.zone))
    figures = block_figures(grown)
    soaks = [_soak(h, of.zone) for h in _noted(one, "soaked")]
    return BlockSeen(
        label=one.block.label,
        variety=variety,
        form=one.block.form,
        wet_g=one.block.wet_g,
        basis=_basis(grown.basis),
        first_day=figures.day_zero,
        first_day_is=figures.day_zero_is,
        outcome=_outcome(grown.ended, figures),
        state=one.state(of.now),
        ended=_last_day(one, of),
        fresh_g=figures.fresh_g,
        flushes=_flushes(one.picks, figures, of.zone),
        days_to_first_harvest=figures.days_to_first_harvest,
        g_per_kg_wet=figures.yield_g_per_kg_wet,
        efficiency_pct=figures.efficiency_pct,
        handling=_handling(one.picks),
        scale_step_g=max((p.scale_step_g for p in one.picks if p.scale_step_g is not None), default=None),
        soaks=soaks,
        soak_hours=_sum([soak.hours for soak in soaks]),
        contamination=[_contamination(h, of.zone) for h in _noted(one, "contamination")],
        rooms=list(dict.fromkeys(of.letters[stay.place] for stay in places)),
        troubles=list(figures.troubles),
    )


def _last_day(one: Told, of: Circumstances) -> date | None:
    ended = ended_at(one, of.now)
    return ended.astimezone(of.zone).date() if ended else None


def _without_dried(grown: Grown) -> Grown:
    """Dried masses are the grower's own business: left in, they would stand among the troubles where they are odd."""
    return replace(grown, picks=[replace(pick, dry_g=None) for pick in grown.picks])


def _noted(one: Told, what: str) -> list[Happening]:
    return sorted((h for h in one.happenings if h.what == what), key=lambda h: (h.at, h.uuid))


def _outcome(ended: bool, figures: BlockFigures) -> Outcome:
    if not ended:
        return "unfinished"
    return "finished" if figures.fresh_g > 0 else "failed"


def _flushes(picks: Sequence[Pick], figures: BlockFigures, zone: ZoneInfo) -> list[FlushSeen]:
    days: defaultdict[int, list[date]] = defaultdict(list)
    for pick in picks:
        days[pick.flush].append(pick.at.astimezone(zone).date())
    return [
        FlushSeen(
            flush=flush,
            grams=grams,
            first=min(days[flush]),
            last=max(days[flush]),
            picks=len(days[flush]),
        )
        for flush, grams in figures.grams_by_flush.items()
    ]


def _handling(picks: Sequence[Pick]) -> Handling | None:
    ways = {pick.handling for pick in picks}
    if not ways:
        return None
    if len(ways) > 1:
        return "mixed"
    return "trimmed" if ways == {"trimmed"} else "whole"


def _soak(happening: Happening, zone: ZoneInfo) -> SoakSeen:
    until = happening.until
    hours = None if until is None else (until - happening.at).total_seconds() / 3600
    return SoakSeen(day=happening.at.astimezone(zone).date(), hours=hours)


def _contamination(happening: Happening, zone: ZoneInfo) -> ContaminationSeen:
    return ContaminationSeen(kind=happening.contamination, day=happening.at.astimezone(zone).date())


def _sum(hours: Sequence[float | None]) -> float | None:
    """None where there is no soak, or where the end of one was not noted: the sum would be too small."""
    known = [each for each in hours if each is not None]
    return sum(known) if known and len(known) == len(hours) else None


def _basis(basis: Basis) -> BasisSeen:
    low_pct = basis.moisture_low_pct if basis.kind == "assumed" else basis.moisture_pct
    high_pct = basis.moisture_high_pct if basis.kind == "assumed" else basis.moisture_pct
    dry = [basis.dry_g, basis.dry_g]
    if basis.wet_g is not None and low_pct is not None and high_pct is not None:
        dry = [_dry(basis.wet_g, high_pct), _dry(basis.wet_g, low_pct)]  # the wetter it was, the less was dry
    return BasisSeen(
        kind=basis.kind, moisture_low_pct=low_pct, moisture_high_pct=high_pct, low_g=dry[0], high_g=dry[1]
    )


def _dry(wet_g: float, moisture_pct: float) -> float | None:
    try:
        return dry_substrate_g(wet_g, moisture_pct)
    except Unacceptable:
        return None  # block_figures says why among the troubles
