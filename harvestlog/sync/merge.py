"""Which value of a field stands when two phones wrote it. Pure: numbers and texts in, numbers and texts out."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any


@dataclass(frozen=True)
class Stamp:
    """Who wrote a field last: the farm's seq then, the phone, its (clamped) time and the operation."""

    seq: int
    phone: str
    at: str
    op: str

    def listed(self) -> list[Any]:
        return [self.seq, self.phone, self.at, self.op]


@dataclass
class Merged:
    """Of one operation's fields: those that now stand, and those that a concurrent write outlives."""

    written: dict[str, Any] = field(default_factory=dict)
    lost: dict[str, Any] = field(default_factory=dict)


def clamped(at: datetime, now: datetime) -> str:
    """The phone's time, never later than the server's, in a fixed width so that texts compare as times do."""
    return min(at, now).astimezone(UTC).isoformat(timespec="microseconds")


def concurrent(theirs: Stamp | None, mine: Stamp, base: int) -> bool:
    """Whether another phone wrote after the row that this phone had seen (`base`)."""
    return theirs is not None and theirs.seq > base and theirs.phone != mine.phone


def outlives(theirs: Stamp | None, mine: Stamp, base: int) -> bool:
    """Whether a concurrent write is the later one, by (time, operation id). Whoever saw a value may change it."""
    if theirs is None or not concurrent(theirs, mine, base):
        return False
    return (theirs.at, theirs.op) > (mine.at, mine.op)


def merge(
    stamps: Mapping[str, list[Any]],
    fields: Mapping[str, Any],
    mine: Stamp,
    base: int,
    together: Iterable[frozenset[str]] = (),
) -> Merged:
    """Settles each field on its own, and fields that mean something only `together` as if they were one."""
    merged = Merged()
    for name, value in fields.items():
        settled = next((group for group in together if name in group), frozenset({name}))
        theirs = [Stamp(*stamps[each]) for each in settled if each in stamps]
        lost = any(outlives(stamp, mine, base) for stamp in theirs)
        (merged.lost if lost else merged.written)[name] = value
    return merged


def unseen(
    stamps: Mapping[str, list[Any]], written: Iterable[str], mine: Stamp, base: int
) -> dict[str, Stamp]:
    """Of the fields now written, those whose value until now is another phone's and was not known to this one.

    A base of 0 says nothing: it also comes from healing a restored server, where operations are sent anew in any order.
    """
    if base == 0:
        return {}
    before = {name: Stamp(*stamps[name]) for name in written if name in stamps}
    return {name: theirs for name, theirs in before.items() if concurrent(theirs, mine, base)}
