"""The air of the places where a report's blocks stood, while they stood there; places are told by letters only."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, time
from statistics import median
from typing import NamedTuple
from uuid import UUID
from zoneinfo import ZoneInfo

from harvestlog.reports.queries import ENDED, Told
from harvestlog.reports.supplier_report.shape import Middle, RoomSeen


class ReadingAt(NamedTuple):
    place: UUID
    at: datetime
    temp_c: float | None
    rh_pct: float | None


@dataclass(frozen=True)
class Stay:
    place: UUID
    since: datetime
    until: datetime


def stays(one: Told, now: datetime, zone: ZoneInfo) -> list[Stay]:
    """Where a block stood and when: from its delivery to its end, or until now; nothing where no place was noted."""
    start = _start(one, zone)
    if start is None:
        return []
    end = ended_at(one, now) or now
    moves = sorted(
        (h.at, h.place) for h in one.happenings if h.what == "moved" and h.place is not None and h.at <= end
    )
    # What was noted as moved before the delivery's own day only says where the block stood from the start.
    path = [(start, one.block.place), *((max(at, start), place) for at, place in moves)]
    leaves = [at for at, _ in path[1:]] + [end]
    return [
        Stay(place, since, until)
        for (since, place), until in zip(path, leaves, strict=True)
        if place is not None and until > since
    ]


def ended_at(one: Told, now: datetime) -> datetime | None:
    """When a block was spent or discarded; None while it is neither."""
    if one.state(now) not in ENDED:
        return None
    return max((h.at for h in one.happenings if h.what in ENDED and h.at <= now), default=None)


def letters(every: Iterable[Stay]) -> dict[UUID, str]:
    """A, B, C … in the order the places were first used; numbers after Z."""
    order = dict.fromkeys(stay.place for stay in sorted(every, key=lambda stay: (stay.since, stay.place)))
    return {place: chr(65 + n) if n < 26 else str(n + 1) for n, place in enumerate(order)}


def rooms(every: Sequence[Stay], noted: Sequence[ReadingAt], zone: ZoneInfo) -> list[RoomSeen]:
    """One room a place, in the order of their letters."""
    by_place: defaultdict[UUID, list[ReadingAt]] = defaultdict(list)
    for reading in noted:
        by_place[reading.place].append(reading)
    found = []
    for place, letter in letters(every).items():
        spans = _merged(stay for stay in every if stay.place == place)
        inside = [r for r in by_place[place] if any(since <= r.at <= until for since, until in spans)]
        found.append(
            RoomSeen(
                letter=letter,
                since=spans[0][0].astimezone(zone).date(),
                until=spans[-1][1].astimezone(zone).date(),
                temp_c=_middle([r.temp_c for r in inside if r.temp_c is not None]),
                rh_pct=_middle([r.rh_pct for r in inside if r.rh_pct is not None]),
            )
        )
    return found


def _start(one: Told, zone: ZoneInfo) -> datetime | None:
    if one.delivery is not None:
        return datetime.combine(one.delivery.received, time.min, zone)
    return min((h.at for h in one.happenings), default=None)


def _merged(stays: Iterable[Stay]) -> list[tuple[datetime, datetime]]:
    spans: list[tuple[datetime, datetime]] = []
    for stay in sorted(stays, key=lambda stay: stay.since):
        if spans and stay.since <= spans[-1][1]:
            spans[-1] = spans[-1][0], max(spans[-1][1], stay.until)
        else:
            spans.append((stay.since, stay.until))
    return spans


def _middle(values: list[float]) -> Middle | None:
    if not values:
        return None
    return Middle(median=median(values), low=min(values), high=max(values), n=len(values))
