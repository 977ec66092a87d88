"""A yield report as lines of text: the page and the PDF set the same words, each in its own way."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from harvestlog.reports.supplier_report.block_words import BlockLine, block_line
from harvestlog.reports.supplier_report.shape import (
    DeliverySeen,
    Middle,
    PhotoSeen,
    RoomSeen,
    Snapshot,
    VarietySeen,
)
from harvestlog.reports.supplier_report.words import STAGES
from harvestlog.reports.wording import NO_BREAK, day_words, ends, number, percent, period_words, some

VARIETY_HEAD = ["Variety", "Recorded", "Finished", "Gave nothing", "Unfinished"]
VARIETY_HEAD += ["g per kg wet", "BE, %", "Days to first harvest"]
BLOCK_HEAD = ["Block", "Wet mass", "To first harvest", "Flushes", "Fresh", "g per kg wet", "BE, %", "Outcome"]


@dataclass(frozen=True)
class Grid:
    """A table: the first column heads its row, and is text; the others are figures."""

    caption: str
    head: list[str]
    rows: list[list[str]]


@dataclass(frozen=True)
class DeliveryPart:
    title: str
    lines: list[str]
    blocks: list[BlockLine]


@dataclass(frozen=True)
class Picture:
    sha256: str
    thumb_sha256: str
    caption: str
    alt: str


@dataclass(frozen=True)
class Figure:
    """One large figure of the first page."""

    value: str
    unit: str
    said: str


@dataclass(frozen=True)
class Sheet:
    title: str
    supplier: str
    farm: str
    made: str
    chosen: str
    figures: list[Figure]
    sentences: list[str]
    varieties: Grid | None
    deliveries: list[DeliveryPart]
    rooms: Grid | None
    pictures: list[Picture]
    methods: list[tuple[str, str]]
    foot: str
    block_head: list[str] = field(default_factory=lambda: list(BLOCK_HEAD))


def sheet_of(seen: Snapshot) -> Sheet:
    """All words of the report, from its snapshot alone."""
    largest = max((f.grams for d in seen.deliveries for b in d.blocks for f in b.flushes), default=0.0)
    return Sheet(
        title=seen.title,
        supplier=seen.supplier,
        farm=seen.farm,
        made=day_words(seen.day),
        chosen=_chosen(seen),
        figures=_figures(seen),
        sentences=list(seen.sentences),
        varieties=_varieties(seen.varieties),
        deliveries=[_delivery(delivery, largest) for delivery in seen.deliveries],
        rooms=_rooms(seen.rooms),
        pictures=[_picture(photo) for photo in seen.photos],
        methods=[(note.term, note.text) for note in seen.methods],
        foot=f"Made by the grower on {day_words(seen.day)} from records of picks; days are days in {seen.zone}. "
        "Nothing that was recorded later is in it.",
    )


def _chosen(seen: Snapshot) -> str:
    which = "Every delivery" if seen.chosen.every_delivery else "Chosen deliveries"
    since, until = seen.chosen.since, seen.chosen.until
    if since and until:
        return f"{which} received {period_words(since, until)}"
    if since:
        return f"{which} received from {day_words(since)}"
    if until:
        return f"{which} received up to {day_words(until)}"
    return f"{which} on record" if seen.chosen.every_delivery else f"{which}, others are left out"


def _figures(seen: Snapshot) -> list[Figure]:
    counts, middle = seen.counts, seen.g_per_kg_wet
    found = [
        Figure(str(sum(d.count for d in seen.deliveries)), "received", f"{counts.recorded} recorded"),
        Figure(str(counts.opened), "opened", f"of {counts.recorded} recorded"),
        Figure(str(counts.finished), "finished", f"{counts.unfinished} unfinished"),
        Figure(str(counts.failed), "gave nothing", f"of {counts.finished} finished"),
    ]
    if middle is not None:
        said = (
            f"median of {middle.n}, {number(middle.low)} to {number(middle.high)}"
            if middle.n > 1
            else "of one block"
        )
        found.insert(0, Figure(number(middle.median), "g per kg wet", said))
    return found


def _varieties(varieties: Sequence[VarietySeen]) -> Grid | None:
    if not varieties:
        return None
    return Grid(
        caption="g per kg wet and BE of finished blocks whose mass is known, failed ones as 0; days of every block that "
        "gave something. Median, lowest to highest, and of how many blocks (n).",
        head=VARIETY_HEAD,
        rows=[
            [
                _named(row),
                str(row.counts.recorded),
                str(row.counts.finished),
                str(row.counts.failed),
                str(row.counts.unfinished),
                _middle(row.g_per_kg_wet, number),
                _middle(row.efficiency_pct, percent),
                _middle(row.days_to_first_harvest, number),
            ]
            for row in varieties
        ],
    )


def _named(row: VarietySeen) -> str:
    name = row.name or "Variety not known"
    return f"{name}, {row.species}" if row.species else name


def _middle(middle: Middle | None, write: Callable[[float], str]) -> str:
    if middle is None:
        return "cannot be said"
    spread = ends(write(middle.low), write(middle.high))
    said = write(middle.median) if spread == write(middle.median) else f"{write(middle.median)}, {spread}"
    return f"{said} (n = {middle.n})".replace(", ", f",{NO_BREAK}").replace(" = ", f"{NO_BREAK}={NO_BREAK}")


def _delivery(delivery: DeliverySeen, largest: float) -> DeliveryPart:
    lot = f"Lot {delivery.lot}" if delivery.lot else "No lot code noted"
    counts = delivery.counts
    stored = "not noted" if delivery.stored_c is None else f"{number(delivery.stored_c, 1)} °C"
    lines = [
        f"{some(delivery.count, 'block')} received, {counts.opened} opened, {counts.finished} finished of which "
        f"{counts.failed} gave nothing, {counts.unfinished} unfinished. Storage before opening: {stored}."
    ]
    if counts.recorded < delivery.count:
        lines.append(f"{counts.recorded} of them recorded one by one.")
    if counts.recorded > delivery.count:
        lines.append(f"{counts.recorded} are recorded, more than came: one of the two counts is wrong.")
    return DeliveryPart(
        title=f"{lot}, received {day_words(delivery.received)}",
        lines=lines,
        blocks=[block_line(block, largest) for block in delivery.blocks],
    )


def _rooms(rooms: Sequence[RoomSeen]) -> Grid | None:
    if not rooms:
        return None
    return Grid(
        caption="Air where these blocks stood, while they stood there: lowest, median, highest and number of readings.",
        head=["Place", "Days", "Temperature, °C", "Relative humidity, %"],
        rows=[
            [
                f"Place {room.letter}",
                period_words(room.since, room.until),
                _air(room.temp_c, 1),
                _air(room.rh_pct),
            ]
            for room in rooms
        ],
    )


def _air(middle: Middle | None, decimals: int = 0) -> str:
    if middle is None:
        return "none noted"
    low, mid, high = (number(each, decimals) for each in (middle.low, middle.median, middle.high))
    return f"{low}, {mid}, {high} (n = {middle.n})"


def _picture(photo: PhotoSeen) -> Picture:
    flush = f", flush {photo.flush}" if photo.flush else ""
    caption = f"{photo.block}{flush}: {STAGES[photo.stage]}, {day_words(photo.taken)}"
    return Picture(
        sha256=photo.sha256,
        thumb_sha256=photo.thumb_sha256,
        caption=caption,
        alt=f"Photo of block {' '.join(photo.block)}, {STAGES[photo.stage]}, taken on {day_words(photo.taken)}",
    )
