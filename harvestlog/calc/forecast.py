"""When a block's next flush comes, what it weighs, and whether it comes at all.

Waits and masses are each the next value of a row (next_value): the block's own, the farm's blocks of the variety, and
what is usual of it. Waits are counted in days from delivery or opening to the first pick of flush 1, and from the end
of a flush, or of a soak after it, to the first pick of the next; the three kinds are kept apart. Masses are grams per
kg of wet block over what its flush usually brings, so that all flushes speak of one level; a farm whose second flushes
run high is heard through the mean of its second flushes, as if three more had come as usual.

The chance of nothing is learnt from the farm's blocks of the variety that stood at the same flush: how many were over
without another. A block that has waited for w days is past all shorter waits: both the days and the chance of nothing
are what is left, nothing / (nothing + (1 - nothing) P(wait > w)).

Pins or caps that stand there are better than all waits: the flush has begun, so no chance of nothing is given, and the
days are what is usual of the species from pins to picking, or none where that is not known.

Known weaknesses: the farm's blocks that still wait do not lengthen the waits of the others, and no weather is known.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import exp, floor, log

from harvestlog.calc.crops import Crop, Flush, crop
from harvestlog.calc.next_value import Next
from harvestlog.calc.usual_flushes import FlushPrior, flush_prior, log_mass, log_wait, nothing_after

__all__ = [
    "AnotherSoak",
    "Crop",
    "Flush",
    "FlushPrior",
    "Likely",
    "NextFlush",
    "crop",
    "flush_prior",
    "next_flush",
    "worth_another_soak",
]

HELD = 0.80  # of the chance lies in a range
OUTER = (1 - HELD) / 2
LEFT_OUT_BELOW = [i / 50 for i in range(10)]  # shares below a range of days: the starts it is tried from
LONGEST_DAYS = 400  # a wait is never put beyond this, or twice what it has taken
SURELY_PAST = 0.999  # beyond this share of all waits the distribution says nothing of the days left
NAMED_ALONE = 4  # from so many of one's own on, what is usual is no longer named
USUAL = FlushPrior()
EVEN_SHARES = [(i + 0.5) / 20 for i in range(20)]


@dataclass(frozen=True, kw_only=True)
class Likely:
    """The middle and two ends with 80 % of the chance between them; n flushes of the farm it rests on, in words in `basis`."""

    value: float
    low: float
    high: float
    n: int
    basis: str


@dataclass(frozen=True, kw_only=True)
class NextFlush:
    """The next flush: its number, the days of its first pick and its grams if it comes, and the chance of nothing.

    days: counted from `since`; None, as the three dates, without a first day. grams: None without a wet mass.
    pinned: pins or caps stand; `since` is then the day they were first seen, and chance_of_nothing is None.
    Of a block that is over there is only the chance of nothing, 1, and `basis` says so.
    """

    flush: int
    since: date | None = None
    days: Likely | None = None
    first_day: date | None = None
    likely_day: date | None = None
    last_day: date | None = None
    grams: Likely | None = None
    chance_of_nothing: float | None
    basis: str
    pinned: bool = False


@dataclass(frozen=True, kw_only=True)
class AnotherSoak:
    """What soaking a block now is to bring: grams with the chance of nothing in them, and the days to the first pick.

    grams: mean, and the ends 80 % lie between (0 where nothing is that likely); None without a wet mass. days: from
    now, the soak included. new_block_g_per_day: what the farm's finished blocks of the variety gave for each day from their first to
    their last pick, the days before included; None without any.
    """

    grams: Likely | None
    days: Likely
    chance_of_nothing: float
    g_per_day: float | None
    new_block_g_per_day: float | None


def next_flush(block_history: Crop, farm_history: Sequence[Crop], prior: FlushPrior = USUAL) -> NextFlush:
    """Forecast of a block's next flush, seen from the day its history ends.

    farm_history: the farm's other blocks, or all; those of other varieties, and this one, are left out. Valid for any
    number of flushes and blocks. Source: see the module.
    """
    block, others = block_history, _others(block_history, farm_history)
    number = block.flushes[-1].number + 1 if block.flushes else 1
    if block.over:
        return NextFlush(flush=number, chance_of_nothing=1.0, basis="the block is over")
    if block.pins is not None:
        return _from_pins(block.pins, number, _grams(block, others, number, prior), prior)
    kind, since = block.starts[-1]
    wait, n = log_wait(block, others, kind, prior)
    waited = max((block.watched_to - since).days, 0) if since else 0
    days = _days(wait, waited, n, prior)
    nothing = nothing_after(len(block.flushes), others, prior)
    left = max(1 - _past(wait, waited), 1e-6)
    return NextFlush(
        flush=number,
        since=since,
        days=days if since else None,
        first_day=_day(since, days.low),
        likely_day=_day(since, days.value),
        last_day=_day(since, days.high),
        grams=_grams(block, others, number, prior),
        chance_of_nothing=nothing / (nothing + (1 - nothing) * left),
        basis=days.basis,
    )


def worth_another_soak(
    block_history: Crop, farm_history: Sequence[Crop], prior: FlushPrior = USUAL, soak_days: int = 1
) -> AnotherSoak | None:
    """Grams and days to be expected if a block is soaked now, against what a new block gives for a day of standing.

    None for a block that is over, or has given no flush to follow. The chance of nothing is that of the farm's blocks
    at this flush, soaked or not. Source: next_flush.
    """
    if block_history.over or not block_history.flushes:
        return None
    others = _others(block_history, farm_history)
    wait, n = log_wait(block_history, others, "soaked", prior)
    days = _later(_days(wait, 0, n, prior), soak_days)
    nothing = nothing_after(len(block_history.flushes), others, prior)
    grams = _with_nothing(block_history, others, nothing, prior)
    return AnotherSoak(
        grams=grams,
        days=days,
        chance_of_nothing=nothing,
        g_per_day=grams.value / days.value if grams else None,
        new_block_g_per_day=_g_per_day(others),
    )


def _from_pins(seen: date, number: int, grams: Likely | None, prior: FlushPrior) -> NextFlush:
    known = NextFlush(
        flush=number,
        since=seen,
        grams=grams,
        chance_of_nothing=None,
        basis="pins that stand there",
        pinned=True,
    )
    if prior.pin_days is None:
        return known
    low, high = prior.pin_days.low, prior.pin_days.high
    basis = "what is usual from pins to picking"
    days = Likely(value=(low + high) / 2, low=low, high=high, n=0, basis=basis)
    first, likely, last = (_day(seen, after) for after in (low, days.value, high))
    return replace(known, days=days, first_day=first, likely_day=likely, last_day=last, basis=basis)


def _others(block: Crop, farm: Sequence[Crop]) -> list[Crop]:
    return [each for each in farm if each is not block and each.variety == block.variety]


def _grams(block: Crop, others: Sequence[Crop], number: int, prior: FlushPrior) -> Likely | None:
    if not block.wet_g or block.wet_g <= 0:
        return None
    mass, n = log_mass(block, others, number, prior)
    low, value, high = (block.wet_g / 1000 * exp(mass.at(share)) for share in (OUTER, 0.5, 1 - OUTER))
    return Likely(value=value, low=low, high=high, n=n, basis=_basis(n, prior.basis))


def _with_nothing(block: Crop, others: Sequence[Crop], nothing: float, prior: FlushPrior) -> Likely | None:
    """Grams with the chance of none among them: their mean, and the middle 80 %."""
    number = block.flushes[-1].number + 1 if block.flushes else 1
    usual = _grams(block, others, number, prior)
    if usual is None or not block.wet_g:
        return None
    mass, _ = log_mass(block, others, number, prior)
    kg = block.wet_g / 1000
    mean = sum(kg * exp(mass.at(share)) for share in EVEN_SHARES) / len(EVEN_SHARES)
    low, high = (
        kg * exp(mass.at((share - nothing) / (1 - nothing))) if share > nothing else 0.0
        for share in (OUTER, 1 - OUTER)
    )
    return replace(usual, value=(1 - nothing) * mean, low=low, high=high)


def _g_per_day(others: Sequence[Crop]) -> float | None:
    """Grams for each day of standing, from the first day to the last pick, over the finished blocks."""
    stood = [(each, each.since) for each in others if each.over and each.flushes and each.since]
    days = sum((each.flushes[-1].last - since).days for each, since in stood)
    grams = sum(flush.grams for each, _ in stood for flush in each.flushes)
    return grams / days if days > 0 else None


def _past(wait: Next, waited: int) -> float:
    """The chance that a wait is over within so many days."""
    return wait.below(log(waited + 0.5)) if waited else 0.0


def _days(wait: Next, waited: int, n: int, prior: FlushPrior) -> Likely:
    """Middle and shortest range of the days a wait may take, once it has taken `waited` days.

    The shortest one, because a block that is overdue may come tomorrow: leaving the first days out would be odd.
    """
    past = min(_past(wait, waited), SURELY_PAST)
    longest = log(max(LONGEST_DAYS, 2 * waited))

    def day(share: float) -> float:
        at = past + share * (1 - past)
        return max(exp(min(wait.at(at), longest)) if at > 0 else 0.0, waited + 0.5 if waited else 0.0)

    ranges = [(day(below), day(below + HELD)) for below in LEFT_OUT_BELOW]
    low, high = min(ranges, key=lambda ends: ends[1] - ends[0])
    return Likely(value=day(0.5), low=low, high=high, n=n, basis=_basis(n, prior.basis))


def _later(days: Likely, by: int) -> Likely:
    return replace(days, value=days.value + by, low=days.low + by, high=days.high + by)


def _basis(n: int, usual: str) -> str:
    if n == 0:
        return f"{usual}, none of yours yet"
    own = "your 1 flush" if n == 1 else f"your {n} flushes"
    return own if n >= NAMED_ALONE else f"{own} and the {usual}"


def _day(since: date | None, days: float) -> date | None:
    return since + timedelta(days=floor(days + 0.5)) if since else None
