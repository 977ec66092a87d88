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

# What says that nothing of a flush stands any more.
FLUSH_ENDS = ("pins_dried", "flush_over")
GROWING = frozenset({"knots", "pins", "young", "ready"})


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

    def last_pins(self) -> datetime | None:
        return _latest(self.last("pins_seen"), self.last_photo("knots", "pins"))

    def began(self) -> datetime | None:
        """From when on what is seen belongs to the flush to come, or to more of the one that stands."""
        return _latest(self.last("soaked", *FLUSH_ENDS), self.last_pick())

    def last_soak(self) -> Noted | None:
        return max((h for h in self.happenings if h.what == "soaked"), key=lambda h: h.at, default=None)


def block_state(
    happenings: Iterable[Noted], picks: Iterable[PickedAt], photos: Iterable[Seen], now: datetime
) -> State:
    """The state of a block at the instant `now`; whatever is dated after it is left out.

    discarded: noted, and not opened again since. spent: noted, and nothing picked, pinned, soaked or opened since.
    soaking: put in and not out yet. Then what was seen since the last pick or soak, or since pins dried up or a flush
    was called over: fruiting on a photo of young or ready mushrooms, pinning on pins noted or a photo of knots or pins.
    fruiting too: picked in the last 7 days and nothing of that since. Else resting. "Since" is strictly later.
    Source: common practice, no source.
    Raises NotATime for an instant without a time zone.
    """
    past = _past(happenings, picks, photos, now)
    if _after(past.last("discarded"), past.last("opened")):
        return "discarded"
    if _after(past.last("spent"), past.last("pins_seen", "soaked", "opened"), past.last_pick()):
        return "spent"
    if _in_water(past, now):
        return "soaking"
    began = past.began()
    if _later(past.last_photo("young", "ready"), began):
        return "fruiting"
    if _later(past.last_pins(), began):
        return "pinning"
    return "fruiting" if _still_picked(past, now) else "resting"


def pins_since(
    happenings: Iterable[Noted], picks: Iterable[PickedAt], photos: Iterable[Seen], now: datetime
) -> datetime | None:
    """When the pins or caps of the flush to come were first seen; None where none were since the last pick, soak or end of a flush.

    Seen: pins noted, or a photo of knots, pins, young or ready mushrooms, strictly later. Caps beside a flush that is
    still picked are more of it. Source: common practice, no source. Raises NotATime for an instant without a time zone.
    """
    past = _past(happenings, picks, photos, now)
    began = past.began()
    if past.last_pick() is not None and not _flush_ended(past, now):
        return None
    seen = [h.at for h in past.happenings if h.what == "pins_seen"]
    seen += [p.taken for p in past.photos if p.stage in GROWING]
    return min((at for at in seen if _later(at, began)), default=None)


def flush_to_pick(
    happenings: Iterable[Noted], picks: Iterable[PickedAt], photos: Iterable[Seen], now: datetime
) -> int:
    """Number of the flush that the next pick most likely belongs to; the grower has the last word.

    The highest yet, or 1; the one after it where a soak, pins, dried-up pins or the end of the flush was noted, or
    knots or pins were photographed, strictly after the last pick, or that pick is more than 7 days ago. Source: common
    practice, no source. Raises NotAFlush, NotATime.
    """
    every = list(picks)  # one from a phone whose clock is ahead has its number all the same
    return open_flush(every) + _flush_ended(_past(happenings, every, photos, now), now)


def contaminated_since(happenings: Iterable[Noted], now: datetime) -> datetime | None:
    """When contamination was last noted of a block that was neither discarded nor called spent since; else None.

    Raises NotATime for an instant without a time zone.
    """
    past = _past(happenings, [], [], now)
    noted = past.last("contamination")
    return noted if _after(noted, past.last("discarded", "spent")) else None


def open_flush(picks: Iterable[PickedAt]) -> int:
    """Number of the last flush that was picked from: the highest yet, or 1.

    Raises NotAFlush for a number below 1.
    """
    return max((flush_number(pick.flush) for pick in picks), default=1)


def _past(
    happenings: Iterable[Noted], picks: Iterable[PickedAt], photos: Iterable[Seen], now: datetime
) -> _Past:
    return _Past(
        [h for h in happenings if _instant(h.at) <= _instant(now)],
        [p for p in picks if _instant(p.at) <= now],
        [p for p in photos if _instant(p.taken) <= now],
    )


def _in_water(past: _Past, now: datetime) -> bool:
    soak = past.last_soak()
    if soak is None or (soak.until is not None and now >= _instant(soak.until)):
        return False
    return _after(soak.at, past.last("pins_seen", "opened"), past.last_pick())


def _flush_ended(past: _Past, now: datetime) -> bool:
    pick, ended = past.last_pick(), _latest(past.last("soaked", *FLUSH_ENDS), past.last_pins())
    return pick is not None and (_later(ended, pick) or now - pick > STILL_FRUITING)


def _still_picked(past: _Past, now: datetime) -> bool:
    pick = past.last_pick()
    return pick is not None and now - pick <= STILL_FRUITING and _after(pick, past.began())


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
