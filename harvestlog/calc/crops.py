"""A block's harvest as a forecast reads it: flush by flush, with the waits between them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import log
from typing import Literal

from harvestlog.calc.acceptable import flush_number, zero_or_more
from harvestlog.calc.figures import Grown

Wait = Literal["first", "rested", "soaked"]

# So long after its last pick a flush's mass is taken as whole (judgement, no source).
PICKED_OUT_DAYS = 4
# What a wait of no days counts as, so that it has a logarithm.
SAME_DAY = 0.5


@dataclass(frozen=True, kw_only=True)
class Flush:
    """One flush: its number, the days of its first and last pick, its grams, above 0."""

    number: int
    first: date
    last: date
    grams: float


@dataclass(frozen=True, kw_only=True)
class Crop:
    """One block as it was known on the day `watched_to`.

    since: opened, else received. soaked: days it came out of the water. over: noted as spent or discarded. pins: the day
    the pins or caps that stand now were first seen.
    """

    variety: str
    watched_to: date
    wet_g: float | None = None
    since: date | None = None
    flushes: Sequence[Flush] = ()
    soaked: Sequence[date] = ()
    over: bool = False
    pins: date | None = None

    @property
    def starts(self) -> list[tuple[Wait, date | None]]:
        """What each flush, and the next one after them all, is waited for from."""
        first: tuple[Wait, date | None] = "first", self.since
        nexts = [flush.first for flush in self.flushes[1:]] + [date.max]
        return [first] + [self._after(flush, till) for flush, till in zip(self.flushes, nexts, strict=False)]

    def _after(self, flush: Flush, till: date) -> tuple[Wait, date]:
        soaks = [day for day in self.soaked if flush.last < day <= till]
        return ("soaked", max(soaks)) if soaks else ("rested", flush.last)


def crop(grown: Grown, watched_to: date, soaked: Sequence[date] = (), pins: date | None = None) -> Crop:
    """The crop of a block from its picks; picks of 0 g are no picks. Raises NotANumber, BelowZero, NotAFlush."""
    by_number: dict[int, list[tuple[date, float]]] = {}
    for pick in grown.picks:
        if zero_or_more("wet mass of a pick", pick.wet_g) > 0:
            by_number.setdefault(flush_number(pick.flush), []).append((pick.day, pick.wet_g))
    return Crop(
        variety=grown.variety,
        watched_to=watched_to,
        wet_g=grown.wet_g,
        since=grown.opened or grown.received,
        flushes=[
            Flush(
                number=number,
                first=min(day for day, _ in picks),
                last=max(day for day, _ in picks),
                grams=sum(grams for _, grams in picks),
            )
            for number, picks in sorted(by_number.items())
        ],
        soaked=soaked,
        over=grown.ended,
        pins=pins,
    )


def log_waits(block: Crop, kind: Wait) -> list[float]:
    """Logs of the days each flush was waited for, of one kind of wait; impossible ones (below 0 days) are left out."""
    days = [
        (flush.first - since).days
        for (what, since), flush in zip(block.starts, block.flushes, strict=False)
        if what == kind and since is not None
    ]
    return [log(max(each, SAME_DAY)) for each in days if each >= 0]


def log_yields(block: Crop) -> list[tuple[int, float]]:
    """Number and log g per kg wet of each flush that was picked out; none without a wet mass."""
    if not block.wet_g or block.wet_g <= 0:
        return []
    whole = [
        flush
        for i, flush in enumerate(block.flushes)
        if i + 1 < len(block.flushes) or block.over or (block.watched_to - flush.last).days >= PICKED_OUT_DAYS
    ]
    return [(flush.number, log(1000 * flush.grams / block.wet_g)) for flush in whole]
