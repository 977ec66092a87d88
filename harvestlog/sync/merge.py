"""Which value of a field stands when two phones wrote it. Pure: numbers and texts in, numbers and texts out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any


@dataclass(frozen=True)
class Stamp:
    """Who wrote a field last: the farm's seq then, the phone, its (clamped) time and the operation."""

    seq: int
    device: str
    at: str
    op: str

    def listed(self) -> list[Any]:
        return [self.seq, self.device, self.at, self.op]


@dataclass
class Merged:
    """Of one operation's fields: those that now stand, and those that a concurrent write outlives."""

    written: dict[str, Any] = field(default_factory=dict)
    lost: dict[str, Any] = field(default_factory=dict)


def clamped(at: datetime, now: datetime) -> str:
    """The phone's time, never later than the server's, in a fixed width so that texts compare as times do."""
    return min(at, now).astimezone(UTC).isoformat(timespec="microseconds")


def merge(stamps: Mapping[str, list[Any]], fields: Mapping[str, Any], mine: Stamp, base: int) -> Merged:
    """Settles each field on its own.

    A field was written concurrently when another phone wrote it after the row that this phone had seen
    (`base`). Then the later of (time, operation id) stands; otherwise the new value does: whoever saw the old
    value and changed it meant to.
    """
    merged = Merged()
    for name, value in fields.items():
        theirs = Stamp(*stamps[name]) if name in stamps else None
        concurrent = theirs is not None and theirs.seq > base and theirs.device != mine.device
        if concurrent and theirs is not None and (theirs.at, theirs.op) > (mine.at, mine.op):
            merged.lost[name] = value
        else:
            merged.written[name] = value
    return merged
