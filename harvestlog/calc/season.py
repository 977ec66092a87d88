"""What a farm's blocks gave over a span of days, by week, variety, flush and lot, and what was spent on them."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from harvestlog.calc.figures import Grown, Picked, block_figures
from harvestlog.calc.suppliers import Spread, middle_of
from harvestlog.calc.yields import flush_shares


@dataclass(frozen=True)
class Week:
    """The Monday it begins on (ISO 8601) and the fresh grams of each variety that was picked."""

    monday: date
    grams: Mapping[str, float]


@dataclass(frozen=True, kw_only=True)
class VarietyYield:
    """dried_g: of those picks whose dried mass is known, None where it is of none. blocks: how many gave them."""

    variety: str
    fresh_g: float
    dried_g: float | None
    blocks: int
    picks: int


@dataclass(frozen=True, kw_only=True)
class Season:
    """Weeks from the first to the last that had a pick, empty ones between them included; varieties from the most grams down.

    The grams of the weeks, of the varieties, and of the picks are one sum. flush_shares sum to 1; empty without picks.
    """

    weeks: Sequence[Week]
    varieties: Sequence[VarietyYield]
    flush_shares: Mapping[int, float]


@dataclass(frozen=True, kw_only=True)
class LotYield:
    """One lot's blocks of one variety. finished: noted as spent or discarded; failed: those of them that gave nothing.

    g_per_kg_wet: over the finished ones, each failed one as 0; None where they are too few for a middle. unweighed: finished ones that
    gave something but have no wet mass to divide by, and so are left out of it.
    """

    blocks: int
    finished: int
    failed: int
    unweighed: int
    g_per_kg_wet: Spread | None


@dataclass(frozen=True)
class Paid:
    """A delivery's price, None where it was not noted, in its currency, "" where that was not."""

    price: Decimal | None
    currency: str


@dataclass(frozen=True, kw_only=True)
class Spent:
    """total: of the deliveries with a price; the others are counted in `deliveries` too."""

    currency: str
    total: Decimal
    deliveries: int
    without_price: int


def season(blocks: Iterable[Grown], first: date, last: date) -> Season:
    """Sums of the picks from the day `first` to the day `last`, both included.

    Valid for any blocks; picks of other days are left out. Source: sums, and the week of ISO 8601.
    Raises NotANumber, BelowZero, NotAFlush for an impossible pick.
    """
    by_variety: defaultdict[str, list[list[Picked]]] = defaultdict(list)
    for block in blocks:
        picks = [pick for pick in block.picks if first <= pick.day <= last]
        if picks:
            by_variety[block.variety].append(picks)
    every = [pick for theirs in by_variety.values() for picks in theirs for pick in picks]
    varieties = [_variety(name, theirs) for name, theirs in by_variety.items()]
    return Season(
        weeks=_weeks(by_variety),
        varieties=sorted(varieties, key=lambda each: -each.fresh_g),
        flush_shares=_shares(every),
    )


def monday_of(day: date) -> date:
    """The Monday of the day's week, as ISO 8601 counts weeks."""
    return day - timedelta(days=day.weekday())


def lot_yield(blocks: Sequence[Grown]) -> LotYield:
    """What the blocks of one lot and variety came to, over their whole lives. Raises what block_figures raises.

    As in a supplier's history, a block that nobody weighed enters no yield, not even as the 0 it gave: of unweighed blocks
    only the failed ones would be heard.
    """
    ended = [block_figures(block) for block in blocks if block.ended]
    per_kg = [each.yield_g_per_kg_wet for each in ended]
    known = [each for each in per_kg if each is not None]
    return LotYield(
        blocks=len(blocks),
        finished=len(ended),
        failed=sum(each.fresh_g == 0 for each in ended),
        unweighed=len(per_kg) - len(known),
        g_per_kg_wet=middle_of(known, known, known, growing=len(blocks) > len(ended)),
    )


def best_first(lots: Mapping[str, LotYield]) -> list[str]:
    """Keys of the lots by their median, the highest first; those that have none come last, as they were given."""
    return sorted(lots, key=lambda key: -spread.median if (spread := lots[key].g_per_kg_wet) else 1.0)


def spent(deliveries: Iterable[Paid]) -> list[Spent]:
    """Totals of each currency, to the hundredth, in the order of their codes."""
    apart: defaultdict[str, list[Decimal | None]] = defaultdict(list)
    for each in deliveries:
        apart[each.currency].append(each.price)
    return [
        Spent(
            currency=currency,
            total=sum((price for price in prices if price is not None), Decimal("0.00")),
            deliveries=len(prices),
            without_price=sum(price is None for price in prices),
        )
        for currency, prices in sorted(apart.items())
    ]


def in_words(of: Season, first: date, last: date, names: Mapping[str, str]) -> str:
    """What can be said on top; `names` of the varieties."""
    if not of.varieties:
        return f"Nothing was picked from {_day(first)} to {_day(last)}."
    total = sum(each.fresh_g for each in of.varieties)
    most = of.varieties[0]
    share = f"{most.fresh_g / total * 100:.0f} % of it " if len(of.varieties) > 1 and total else "all of it "
    blocks, weeks = sum(each.blocks for each in of.varieties), sum(bool(week.grams) for week in of.weeks)
    return f"{_mass(total)} from {_count(blocks, 'block')} in {_count(weeks, 'week')} with picks, {share}{names[most.variety]}."


def _weeks(by_variety: Mapping[str, Sequence[Sequence[Picked]]]) -> list[Week]:
    found: defaultdict[date, defaultdict[str, float]] = defaultdict(lambda: defaultdict(float))
    for variety, blocks in by_variety.items():
        for pick in (pick for picks in blocks for pick in picks):
            found[monday_of(pick.day)][variety] += pick.wet_g
    if not found:
        return []
    begin, end = min(found), max(found)
    mondays = (begin + timedelta(weeks=n) for n in range((end - begin).days // 7 + 1))
    return [Week(monday, dict(found.get(monday, {}))) for monday in mondays]


def _variety(name: str, blocks: Sequence[Sequence[Picked]]) -> VarietyYield:
    picks = [pick for picks in blocks for pick in picks]
    dried = [pick.dry_g for pick in picks if pick.dry_g is not None]
    return VarietyYield(
        variety=name,
        fresh_g=sum(pick.wet_g for pick in picks),
        dried_g=sum(dried) if dried else None,
        blocks=len(blocks),
        picks=len(picks),
    )


def _shares(picks: Iterable[Picked]) -> dict[int, float]:
    grams: defaultdict[int, float] = defaultdict(float)
    for pick in picks:
        grams[pick.flush] += pick.wet_g
    return dict(sorted(flush_shares(grams).items())) if sum(grams.values()) > 0 else {}


def _day(day: date) -> str:
    return f"{day.day} {day:%B} {day.year}"


def _mass(grams: float) -> str:
    return f"{grams:.0f} g" if grams < 1000 else f"{grams / 1000:.1f} kg"


def _count(n: int, what: str) -> str:
    return f"{n} {what}" if n == 1 else f"{n} {what}s"
