"""Everything that falls due: soaks, pins, picking, weighing again, jars to look into, extracts to shake and strain.

Nothing here says how long anything keeps: a best-before day is the grower's own or there is none.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import floor
from typing import Literal, get_args

from harvestlog.calc.drying import DRIED_AGAIN_MIN, constant_weight
from harvestlog.calc.errors import Unacceptable
from harvestlog.calc.loads import USUAL_STEP_G
from harvestlog.calc.states import Noted, PickedAt, Seen, block_state, contaminated_since, pins_since

Kind = Literal[
    "soak_out",
    "weigh_again",
    "look_for_pins",
    "pick_window",
    "strain",
    "shake",
    "look_into_jars",
    "best_before",
]
DUE_KINDS: tuple[Kind, ...] = get_args(Kind)

# Common practice, no source: so many days after a jar was closed it is looked into, and shaken, daily.
LOOK_INTO_JARS_DAYS = 7
# Judgement, no source.
SOAK_OVERDUE = timedelta(days=2)  # so long a soak that nobody ended is still called due
NOTHING_LIKELY = 0.5  # from this chance of no further flush on, nobody is sent to look for pins
EMPTY_BELOW_G = 0.05  # a jar whose takings add up to all but this is empty: sums of decimals seldom come to 0

DayOf = Callable[[datetime], date]


@dataclass(frozen=True, kw_only=True)
class Due:
    """One thing that falls due.

    key: the block, load, jar or extract. day: its calendar day, the first where there are several. at: the moment, where
    there is one. until: its last day. every_days: it comes again so often, up to `until`.
    """

    kind: Kind
    key: str
    day: date
    at: datetime | None = None
    until: date | None = None
    every_days: int | None = None


@dataclass(frozen=True, kw_only=True)
class Expected:
    """What calc/forecast says of a block's next flush: first day of its first pick, and the chance of nothing."""

    first_day: date
    chance_of_nothing: float


@dataclass(frozen=True, kw_only=True)
class BlockFacts:
    """Everything noted of a block. pin_days: usual days from pins to picking, low and high."""

    key: str
    happenings: Sequence[Noted] = ()
    picks: Sequence[PickedAt] = ()
    photos: Sequence[Seen] = ()
    pin_days: tuple[float, float] | None = None
    next: Expected | None = None


@dataclass(frozen=True, kw_only=True)
class LoadFacts:
    """A load in the dryer; weighings (instant, grams) oldest first. step_g: what the scale counts in."""

    key: str
    ended: bool
    step_g: float | None
    weighings: Sequence[tuple[datetime, float]]


@dataclass(frozen=True, kw_only=True)
class JarFacts:
    key: str
    packed: date
    left_g: float
    best_before: date | None = None


@dataclass(frozen=True, kw_only=True)
class ExtractFacts:
    """An extract in its spirit; steps are (what, instant)."""

    key: str
    started: datetime
    steep_low_days: float
    steep_high_days: float
    shake_days: float | None
    steps: Sequence[tuple[str, datetime]] = ()


Facts = BlockFacts | LoadFacts | JarFacts | ExtractFacts


def due(facts: Iterable[Facts], now: datetime, day_of: DayOf) -> list[Due]:
    """Everything due, by day; within a day what has no hour first.

    day_of: the calendar day of an instant where the grower lives. Valid for any records. Steeping and shaking are the
    grower's own settings; source of the rest: common practice, no source. Raises NotATime for an instant without a zone.
    """
    found = [one for each in facts for one in _of(each, now, day_of)]
    return sorted(found, key=_order)


def _order(one: Due) -> tuple[date, float, int, str]:
    return one.day, one.at.timestamp() if one.at else -1, DUE_KINDS.index(one.kind), one.key


def _of(each: Facts, now: datetime, day_of: DayOf) -> list[Due]:
    match each:
        case BlockFacts():
            return _of_block(each, now, day_of)
        case LoadFacts():
            return _of_load(each, day_of)
        case JarFacts():
            return _of_jar(each, day_of(now))
        case ExtractFacts():
            return _of_extract(each, day_of)


def _of_block(block: BlockFacts, now: datetime, day_of: DayOf) -> list[Due]:
    state = block_state(block.happenings, block.picks, block.photos, now)
    if state in {"spent", "discarded"} or contaminated_since(block.happenings, now):
        return []
    soak_until = _open_soak(block)
    if soak_until is not None and now - soak_until <= SOAK_OVERDUE:
        return [Due(kind="soak_out", key=block.key, day=day_of(soak_until), at=soak_until)]
    if state == "pinning":
        return _pick_window(block, now, day_of)
    return _look_for_pins(block, day_of(now)) if state == "resting" else []


def _open_soak(block: BlockFacts) -> datetime | None:
    """Planned end of the last soak, unless something was noted, picked or photographed since."""
    soak = max((h for h in block.happenings if h.what == "soaked"), key=lambda h: h.at, default=None)
    if soak is None or soak.until is None:
        return None
    noted = [h.at for h in block.happenings] + [pick.at for pick in block.picks]
    latest = max(noted + [seen.taken for seen in block.photos])
    return soak.until if latest < soak.until else None


def _pick_window(block: BlockFacts, now: datetime, day_of: DayOf) -> list[Due]:
    """From the day the pins of the flush to come were first seen."""
    seen = pins_since(block.happenings, block.picks, block.photos, now)
    if block.pin_days is None or seen is None:
        return []
    low, high = (day_of(seen) + timedelta(days=_whole(days)) for days in block.pin_days)
    return [] if high < day_of(now) else [Due(kind="pick_window", key=block.key, day=low, until=high)]


def _look_for_pins(block: BlockFacts, today: date) -> list[Due]:
    """Pins stand there some days before the first pick. A block that is late is looked at every day."""
    if block.next is None or block.next.chance_of_nothing >= NOTHING_LIKELY:
        return []
    ahead = _whole(block.pin_days[0]) if block.pin_days else 0
    first = block.next.first_day - timedelta(days=ahead)
    return [Due(kind="look_for_pins", key=block.key, day=max(first, today))]


def _of_load(load: LoadFacts, day_of: DayOf) -> list[Due]:
    if load.ended or not load.weighings or _is_constant(load):
        return []
    at = load.weighings[-1][0] + timedelta(minutes=DRIED_AGAIN_MIN)
    return [Due(kind="weigh_again", key=load.key, day=day_of(at), at=at)]


def _is_constant(load: LoadFacts) -> bool:
    masses = [mass for _, mass in load.weighings]
    times = [at.timestamp() / 60 for at, _ in load.weighings]
    step = USUAL_STEP_G if load.step_g is None else load.step_g
    try:
        return constant_weight(masses, step, times).verdict == "constant"
    except Unacceptable:  # a weight that rose, two at one time: weigh once more
        return False


def _of_jar(jar: JarFacts, today: date) -> list[Due]:
    if jar.left_g < EMPTY_BELOW_G:
        return []
    found = []
    until = jar.packed + timedelta(days=LOOK_INTO_JARS_DAYS)
    if today <= until:
        first = jar.packed + timedelta(days=1)
        found.append(Due(kind="look_into_jars", key=jar.key, day=first, until=until, every_days=1))
    if jar.best_before is not None:
        found.append(Due(kind="best_before", key=jar.key, day=jar.best_before))
    return found


def _of_extract(extract: ExtractFacts, day_of: DayOf) -> list[Due]:
    # What comes after straining says that it was strained.
    if any(what not in {"shaken", "note"} for what, _ in extract.steps):
        return []
    begun = day_of(extract.started)
    low, until = (
        begun + timedelta(days=_whole(days)) for days in (extract.steep_low_days, extract.steep_high_days)
    )
    found = [Due(kind="strain", key=extract.key, day=low, until=until)]
    if extract.shake_days is None:
        return found
    every = max(1, _whole(extract.shake_days))
    shaken = [at for what, at in extract.steps if what == "shaken"]
    following = day_of(max([extract.started, *shaken])) + timedelta(days=every)
    if following <= until:
        found.append(Due(kind="shake", key=extract.key, day=following, until=until, every_days=every))
    return found


def _whole(days: float) -> int:
    return floor(days + 0.5)
