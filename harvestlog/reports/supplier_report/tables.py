"""A yield report as tables: blocks, flushes, soaks, contamination, deliveries and the air of the rooms."""

from collections.abc import Iterator
from io import BytesIO

from harvestlog.reports.supplier_report.shape import BlockSeen, Middle, Snapshot
from harvestlog.reports.tables import Cell, Column, Package, Table, write_zip

_DELIVERY = Column("delivery", "integer", "Number of the delivery in this report, from 1.")
_BLOCK = Column(
    "block", "integer", "Number of the block in this report, from 1: two blocks may bear one label."
)
_LABEL = Column("label", "string", "The block's label code.")
_DELIVERY_COLUMNS = (
    _DELIVERY,
    Column("lot", "string", "Lot code as printed on the blocks or the slip."),
    Column("received", "date", "Day of receipt."),
    Column("stored_c", "number", "How cold the blocks were kept until they were put up.", "°C"),
    Column("count", "integer", "Blocks that came, as noted on receipt."),
    Column("recorded", "integer", "Blocks recorded one by one."),
    Column("opened", "integer", "Of these: opened."),
    Column("finished", "integer", "Of these: spent or discarded."),
    Column("failed", "integer", "Of the finished: those that gave nothing."),
    Column("unfinished", "integer", "Of the recorded: not finished."),
    Column("contaminated", "integer", "Of the recorded: contamination was noted."),
)
_BLOCK_COLUMNS = (
    _BLOCK,
    _DELIVERY,
    _LABEL,
    Column("variety", "string", "Variety, as the grower calls it."),
    Column("form", "string", "bag, bucket, log or bed."),
    Column("wet_mass", "number", "Mass on arrival.", "g"),
    Column("dry_basis", "string", "How dry mass is known: none, stated, oven, measured, assumed."),
    Column("dry_mass_low", "number", "Dry mass, lowest.", "g"),
    Column("dry_mass_high", "number", "Dry mass, highest; equal unless moisture is assumed.", "g"),
    Column("first_day", "date", "Day from which days are counted."),
    Column("first_day_is", "string", "opened or received."),
    Column("outcome", "string", "finished, failed (finished, gave nothing) or unfinished."),
    Column("ended", "date", "Day it was noted spent or discarded."),
    Column("fresh_mass", "number", "All picks together.", "g"),
    Column("days_to_first_harvest", "integer", "From the first day to the first pick.", "d"),
    Column("yield", "number", "Fresh mass per kilogram of wet block.", "g/kg"),
    Column("efficiency_low", "number", "Biological efficiency, lowest.", "%"),
    Column("efficiency_high", "number", "Biological efficiency, highest.", "%"),
    Column("weighed", "string", "whole, trimmed or mixed."),
    Column("scale_step", "number", "Coarsest scale step of its picks.", "g"),
    Column("soak_time", "number", "All soaks together; empty where the end of one was not noted.", "h"),
    Column("places", "string", "Letters of the places where it stood, in order."),
)
_METHODS = "How each figure comes about stands in the description of the package."


def report_zip(seen: Snapshot) -> bytes:
    """The tables and their datapackage.json; the same bytes from the same snapshot."""
    methods = " ".join(f"{note.term}: {note.text}" for note in seen.methods)
    package = Package(
        name="yield-report",
        title=f"{seen.supplier}: {seen.title}",
        description=f"{' '.join(seen.sentences)} {methods} Made by {seen.farm}; days are days in {seen.zone}.",
        made=seen.made,
    )
    file = BytesIO()
    tables = (_deliveries, _blocks, _flushes, _soaks, _contamination, _readings)
    write_zip(file, package, [table(seen) for table in tables])
    return file.getvalue()


def _numbered(seen: Snapshot) -> Iterator[tuple[int, int, BlockSeen]]:
    """Delivery number, block number, block."""
    n = 0
    for delivery, row in enumerate(seen.deliveries, 1):
        for block in row.blocks:
            n += 1
            yield delivery, n, block


def _deliveries(seen: Snapshot) -> Table:
    return Table(
        name="deliveries",
        title="Deliveries",
        key=("delivery",),
        columns=_DELIVERY_COLUMNS,
        rows=[
            (n, d.lot, d.received, d.stored_c, d.count, *d.counts.model_dump().values())
            for n, d in enumerate(seen.deliveries, 1)
        ],
    )


def _blocks(seen: Snapshot) -> Table:
    return Table(
        name="blocks",
        title="Blocks",
        description=_METHODS,
        key=("block",),
        columns=_BLOCK_COLUMNS,
        rows=[(n, delivery, *_cells(block)) for delivery, n, block in _numbered(seen)],
    )


def _cells(block: BlockSeen) -> tuple[Cell, ...]:
    low, high = block.efficiency_pct or (None, None)
    basis = block.basis
    return (
        block.label,
        block.variety,
        block.form,
        block.wet_g,
        basis.kind,
        basis.low_g,
        basis.high_g,
        block.first_day,
        block.first_day_is,
        block.outcome,
        block.ended,
        block.fresh_g,
        block.days_to_first_harvest,
        block.g_per_kg_wet,
        low,
        high,
        block.handling,
        block.scale_step_g,
        block.soak_hours,
        " ".join(block.rooms),
    )


def _flushes(seen: Snapshot) -> Table:
    return Table(
        name="flushes",
        title="Flushes",
        description="A flush is the sum of its picks.",
        key=("block", "flush"),
        columns=(
            _BLOCK,
            _LABEL,
            Column("flush", "integer", "Number of the flush."),
            Column("fresh_mass", "number", "Its picks together.", "g"),
            Column("first", "date", "Day of its first pick."),
            Column("last", "date", "Day of its last pick."),
            Column("picks", "integer", "How many picks."),
        ),
        rows=[
            (n, block.label, each.flush, each.grams, each.first, each.last, each.picks)
            for _, n, block in _numbered(seen)
            for each in block.flushes
        ],
    )


def _soaks(seen: Snapshot) -> Table:
    return Table(
        name="soaks",
        title="Soaks",
        columns=(
            _BLOCK,
            _LABEL,
            Column("day", "date", "Day it went into water."),
            Column("time", "number", "How long; empty where its end was not noted.", "h"),
        ),
        rows=[(n, b.label, soak.day, soak.hours) for _, n, b in _numbered(seen) for soak in b.soaks],
    )


def _contamination(seen: Snapshot) -> Table:
    return Table(
        name="contamination",
        title="Contamination",
        columns=(
            _BLOCK,
            _LABEL,
            Column("kind", "string", "As the grower noted it; empty where the kind was not noted."),
            Column("day", "date", "Day it was noted."),
        ),
        rows=[(n, b.label, each.kind, each.day) for _, n, b in _numbered(seen) for each in b.contamination],
    )


def _readings(seen: Snapshot) -> Table:
    ends = ("lowest", "median", "highest")
    return Table(
        name="readings",
        title="Room conditions",
        description="Moments that the grower chose, while the blocks stood there; no continuous record.",
        key=("place",),
        columns=(
            Column("place", "string", "Letter of the place."),
            Column("since", "date", "First day a block stood there."),
            Column("until", "date", "Last day a block stood there."),
            *(Column(f"temperature_{end}", "number", f"Temperature, {end}.", "°C") for end in ends),
            Column("temperature_n", "integer", "How many readings."),
            *(Column(f"humidity_{end}", "number", f"Relative humidity, {end}.", "%") for end in ends),
            Column("humidity_n", "integer", "How many readings."),
        ),
        rows=[
            (room.letter, room.since, room.until, *_four(room.temp_c), *_four(room.rh_pct))
            for room in seen.rooms
        ],
    )


def _four(middle: Middle | None) -> tuple[Cell, ...]:
    return (None, None, None, 0) if middle is None else (middle.low, middle.median, middle.high, middle.n)
