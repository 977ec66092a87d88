"""One block of a yield report in words: a line of figures, its flushes, and what else is known of it."""

from collections.abc import Iterator
from dataclasses import dataclass

from harvestlog.reports.supplier_report.shape import BasisSeen, BlockSeen
from harvestlog.reports.supplier_report.words import CONTAMINATIONS, HANDLINGS, STATES
from harvestlog.reports.wording import day_words, ends, grams, number, percent, period_words, span

NOT_SAID = "–"


@dataclass(frozen=True)
class FlushBar:
    """`width`: in % of the report's largest flush."""

    flush: str
    grams: str
    days: str
    width: float


@dataclass(frozen=True)
class BlockLine:
    label: str
    wet: str
    first_harvest: str
    flushes: list[FlushBar]
    fresh: str
    per_kg: str
    efficiency: str
    outcome: str
    details: list[str]


def block_line(block: BlockSeen, largest_flush_g: float) -> BlockLine:
    days = block.days_to_first_harvest
    return BlockLine(
        label=block.label,
        wet=grams(block.wet_g) if block.wet_g is not None else "not weighed",
        first_harvest=NOT_SAID if days is None else f"{days} d",
        flushes=[
            FlushBar(
                flush=str(each.flush),
                grams=grams(each.grams),
                days=period_words(each.first, each.last, short=True),
                width=round(100 * each.grams / largest_flush_g, 1) if largest_flush_g else 0.0,
            )
            for each in block.flushes
        ],
        fresh=grams(block.fresh_g),
        per_kg=NOT_SAID if block.g_per_kg_wet is None else number(block.g_per_kg_wet),
        efficiency=ends(*map(percent, block.efficiency_pct)) if block.efficiency_pct else NOT_SAID,
        outcome=_outcome(block),
        details=list(_details(block)),
    )


def _outcome(block: BlockSeen) -> str:
    if block.outcome == "unfinished":
        return f"unfinished, {STATES[block.state]}"
    said = STATES[block.state]
    return f"{said}, gave nothing" if block.outcome == "failed" else said


def _details(block: BlockSeen) -> Iterator[str]:
    yield f"{block.variety or 'Variety not known'}, {block.form}."
    if block.first_day is not None:
        first = "Opened" if block.first_day_is == "opened" else "No opening noted; counted from delivery,"
        ended = f" {STATES[block.state].capitalize()} {day_words(block.ended)}." if block.ended else ""
        yield f"{first} {day_words(block.first_day)}.{ended}"
    yield f"{basis_words(block.basis)}."
    if block.handling is not None:
        step = f", scale step {grams(block.scale_step_g)}" if block.scale_step_g else ", scale step not noted"
        yield f"Weighed {HANDLINGS[block.handling]}{step}."
    if block.soaks:
        yield _soaks(block)
    for each in block.contamination:
        yield f"Contamination: {CONTAMINATIONS[each.kind]}, {day_words(each.day)}."
    if block.rooms:
        yield f"Stood in place {', then '.join(block.rooms)}."
    yield from block.troubles


def basis_words(basis: BasisSeen) -> str:
    """How the dry mass is known, with its figures."""
    if basis.kind == "none":
        return "Dry mass not known"
    dry = "cannot be said"
    if basis.low_g is not None and basis.high_g is not None:
        dry = f"{span(basis.low_g, basis.high_g)} g"
    if basis.kind == "stated":
        return f"Dry mass {dry}, stated by the supplier"
    if basis.kind == "oven":
        return f"Dry mass {dry}, dried in an oven by the grower"
    how = "measured" if basis.kind == "measured" else "assumed"
    low, high = basis.moisture_low_pct, basis.moisture_high_pct
    moisture = "" if low is None or high is None else f" {span(low, high, 1)} %"
    return f"Moisture {how}{moisture} of the wet mass: dry mass {dry}"


def _soaks(block: BlockSeen) -> str:
    each = [
        f"{day_words(soak.day)}, " + ("end not noted" if soak.hours is None else f"{number(soak.hours, 1)} h")
        for soak in block.soaks
    ]
    summed = "" if block.soak_hours is None or len(each) == 1 else f"; {number(block.soak_hours, 1)} h in all"
    return f"Soaked {'; '.join(each)}{summed}."
