"""How a block stands, derived from what was noted, picked and photographed; never typed."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from harvestlog.calc.acceptable import flush_number
from harvestlog.calc.errors import NotATime

State = Literal["resting", "soaking", "pinning", "fruiting", "spent", "discarded"]

# After the last pick a flush is taken as still going for a week (common practice, no source).
STILL_FRUITING = timedelta(days=7)


@dataclass(frozen=True)
class Noted:
    what: str
    at: datetime
    until: datetime | None = None


@dataclass(frozen=True)
class PickedAt:
    at: datetime
    flush: int = 1


@dataclass(frozen=True)
class Seen:
    stage: str
    taken: datetime


@dataclass(frozen=True)
class _Past:
    """What had been noted of one block by some moment."""

    happenings: list[Noted]
    picks: list[PickedAt]
    photos: list[Seen]

    def last(self, *whats: str) -> datetime | None:
        return max((h.at for h in self.happenings if h.what in whats), default=None)

    def last_pick(self) -> datetime | None:
        return max((p.at for p in self.picks), default=None)

    def last_photo(self, *stages: str) -> datetime | None:
        return max((p.taken for p in self.photos if p.stage in stages), default=None)

    def last_soak(self) -> Noted | None:
        return max((h for h in self.happenings if h.what == "soaked"), key=lambda h: h.at, default=None)


def block_state(
    happenings: Iterable[Noted], picks: Iterable[PickedAt], photos: Iterable[Seen], now: datetime
) -> State:
    """The state of a block at the instant `now`; whatever is dated after it is left out.

    discarded: noted, and not opened again since. spent: noted, and nothing picked, pinned, soaked or opened since.
    soaking: put in and not out yet. fruiting: picked in the last 7 days with no soak since, or a photo of young or
    ready mushrooms since the last pick and soak. pinning: pins noted, or a photo of knots or pins, since then.
    Else resting. "Since" is strictly later. Source: common practice, no source.
    Raises NotATime for an instant without a time zone.
    """
    past = _Past(
        [h for h in happenings if _instant(h.at) <= _instant(now)],
        [p for p in picks if _instant(p.at) <= now],
        [p for p in photos if _instant(p.taken) <= now],
    )
    if _after(past.last("discarded"), past.last("opened")):
        return "discarded"
    if _after(past.last("spent"), past.last("pins_seen", "soaked", "opened"), past.last_pick()):
        return "spent"
    if _in_water(past, now):
        return "soaking"
    if _fruiting(past, now):
        return "fruiting"
    pins = _latest(past.last("pins_seen"), past.last_photo("knots", "pins"))
    return "pinning" if _later(pins, past.last("soaked"), past.last_pick()) else "resting"


def open_flush(picks: Iterable[PickedAt]) -> int:
    """Number of the flush that the next pick goes into unless the grower starts another: the highest yet, or 1.

    Raises NotAFlush for a number below 1.
    """
    return max((flush_number(pick.flush) for pick in picks), default=1)


def _in_water(past: _Past, now: datetime) -> bool:
    soak = past.last_soak()
    if soak is None or (soak.until is not None and now >= _instant(soak.until)):
        return False
    return _after(soak.at, past.last("pins_seen", "opened"), past.last_pick())


def _fruiting(past: _Past, now: datetime) -> bool:
    pick, soak = past.last_pick(), past.last("soaked")
    if pick is not None and now - pick <= STILL_FRUITING and _after(pick, soak):
        return True
    return _later(past.last_photo("young", "ready"), soak, pick)


def _instant(at: datetime) -> datetime:
    if at.tzinfo is None:
        raise NotATime(f"{at.isoformat()} has no time zone: say which, for example {at.isoformat()}Z.")
    return at


def _latest(*instants: datetime | None) -> datetime | None:
    return max((at for at in instants if at is not None), default=None)


def _after(at: datetime | None, *others: datetime | None) -> bool:
    """Whether `at` is there and nothing of the others is later than it."""
    return at is not None and all(other is None or other <= at for other in others)


def _later(at: datetime | None, *others: datetime | None) -> bool:
    """Whether `at` is there and strictly later than all of the others."""
    return at is not None and all(other is None or other < at for other in others)
