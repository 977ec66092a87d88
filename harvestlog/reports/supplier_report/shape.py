"""What a supplier may see: everything that stands in a yield report stands in these classes, and nothing else does.

The page, the PDF and the tables are made from a `Snapshot` alone. No field here may ever hold a member's name, a note,
a price, a contact, the name of a place, or anything of another supplier.
"""

from datetime import date, datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict

Outcome = Literal["finished", "failed", "unfinished"]
Handling = Literal["whole", "trimmed", "mixed"]


class Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Middle(Part):
    """Median, lowest and highest of `n` values."""

    median: float
    low: float
    high: float
    n: int


class Counts(Part):
    """recorded = finished + unfinished; the failed are finished blocks that gave nothing."""

    recorded: int
    opened: int
    finished: int
    failed: int
    unfinished: int
    contaminated: int


class FlushSeen(Part):
    flush: int
    grams: float
    first: date
    last: date
    picks: int


class SoakSeen(Part):
    day: date
    hours: float | None


class ContaminationSeen(Part):
    kind: str
    day: date


class BasisSeen(Part):
    """How the dry mass is known; `low_g` and `high_g` are the dry mass that follows, equal unless moisture is assumed."""

    kind: str
    moisture_low_pct: float | None
    moisture_high_pct: float | None
    low_g: float | None
    high_g: float | None


class BlockSeen(Part):
    label: str
    variety: str
    form: str
    wet_g: float | None
    basis: BasisSeen
    first_day: date | None
    first_day_is: Literal["opened", "received"] | None
    outcome: Outcome
    state: str
    ended: date | None
    fresh_g: float
    flushes: list[FlushSeen]
    days_to_first_harvest: int | None
    g_per_kg_wet: float | None
    efficiency_pct: tuple[float, float] | None
    handling: Handling | None
    scale_step_g: float | None
    soaks: list[SoakSeen]
    soak_hours: float | None
    contamination: list[ContaminationSeen]
    rooms: list[str]
    troubles: list[str]


class DeliverySeen(Part):
    """`count` is how many blocks came, as noted on delivery; `counts` is of those that were recorded one by one."""

    lot: str
    received: date
    stored_c: float | None
    count: int
    counts: Counts
    blocks: list[BlockSeen]


class VarietySeen(Part):
    name: str
    species: str
    counts: Counts
    failed: list[str]
    g_per_kg_wet: Middle | None
    efficiency_pct: Middle | None
    days_to_first_harvest: Middle | None


class RoomSeen(Part):
    """A place, by a letter. The readings are those taken while one of these blocks stood in it."""

    letter: str
    since: date
    until: date
    temp_c: Middle | None
    rh_pct: Middle | None


class PhotoSeen(Part):
    block: str
    stage: str
    flush: int | None
    taken: date
    sha256: str
    thumb_sha256: str


class MethodNote(Part):
    term: str
    text: str


class Chosen(Part):
    """Which deliveries: all of them or some, received from `since` to `until`, both days included."""

    every_delivery: bool
    since: date | None
    until: date | None


class Snapshot(Part):
    """`version` goes up with every change of these classes; reports of every earlier one must stay readable."""

    version: Literal[1]
    made: datetime
    day: date
    zone: str
    title: str
    farm: str
    supplier: str
    chosen: Chosen
    counts: Counts
    g_per_kg_wet: Middle | None  # only where all blocks are of one variety
    sentences: list[str]
    varieties: list[VarietySeen]
    deliveries: list[DeliverySeen]
    rooms: list[RoomSeen]
    photos: list[PhotoSeen]
    methods: list[MethodNote]
