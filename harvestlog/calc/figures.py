"""Everything that can be said in figures about one block, from its picks and its dry basis."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Literal, TypeVar

from harvestlog.calc.acceptable import above_zero, flush_number
from harvestlog.calc.drying import dry_down_ratio
from harvestlog.calc.errors import Unacceptable
from harvestlog.calc.yields import (
    Basis,
    block_efficiency,
    flush_shares,
    production_rate_pct_per_day,
    yield_g_per_kg_wet,
)

T = TypeVar("T")


@dataclass(frozen=True, kw_only=True)
class Picked:
    """One pick: `day` as the calendar stood where it was picked."""

    day: date
    wet_g: float
    flush: int
    dry_g: float | None = None


@dataclass(frozen=True, kw_only=True)
class Grown:
    """One block with its picks: `received` on delivery, `opened` where that was noted, `ended` once spent or discarded."""

    variety: str
    basis: Basis
    wet_g: float | None = None
    received: date | None = None
    opened: date | None = None
    ended: bool = False
    contaminated: bool = False
    picks: Sequence[Picked] = ()


@dataclass(frozen=True, kw_only=True)
class DryDown:
    """Fresh over dried mass of the `n` picks that have both."""

    ratio: float
    wet_g: float
    dry_g: float
    n: int


@dataclass(frozen=True, kw_only=True)
class BlockFigures:
    """None always means "cannot be said", never zero. `troubles` are sentences about figures that had to be left out.

    Days and the production rate count from `day_zero`; `day_zero_is` says what that was.
    The production rate runs to the last pick; its two ends are those of the efficiency.
    """

    fresh_g: float
    grams_by_flush: dict[int, float]
    share_by_flush: dict[int, float]
    yield_g_per_kg_wet: float | None
    efficiency_pct: tuple[float, float] | None
    day_zero: date | None
    day_zero_is: Literal["opened", "received"] | None
    days_to_first_harvest: int | None
    production_rate_pct_per_day: tuple[float, float] | None
    dry_down: DryDown | None
    troubles: tuple[str, ...]


def block_figures(block: Grown) -> BlockFigures:
    """The figures of one block: grams, grams per kg wet, %, days; each left out where its ground is missing.

    Valid for finished and unfinished blocks alike: the figures are of what was picked so far.
    Source: the definitions in yields and drying. Raises NotANumber, BelowZero, IsZero, NotAFlush for an
    impossible pick; any other figure that cannot be used is named in `troubles`.
    """
    by_flush = _grams_by_flush(block.picks)
    fresh = sum(by_flush.values(), 0.0)
    troubles: list[str] = []
    efficiency = _or_trouble(troubles, partial(block_efficiency, fresh, block.basis))
    day_zero = block.opened or block.received
    days = [(pick.day - day_zero).days for pick in block.picks] if day_zero else []
    if days and min(days) < 0:
        troubles.append(f"A pick is dated before the block's first day, {day_zero}: check both dates.")
        days = []
    return BlockFigures(
        fresh_g=fresh,
        grams_by_flush=by_flush,
        share_by_flush=flush_shares(by_flush) if fresh > 0 else {},
        yield_g_per_kg_wet=_or_trouble(troubles, partial(_per_kg, fresh, block.wet_g)),
        efficiency_pct=efficiency,
        day_zero=day_zero,
        day_zero_is="opened" if block.opened else "received" if block.received else None,
        days_to_first_harvest=min(days, default=None),
        production_rate_pct_per_day=_rate(efficiency, max(days, default=0)),
        dry_down=_dry_down(block.picks, troubles),
        troubles=tuple(troubles),
    )


def _grams_by_flush(picks: Sequence[Picked]) -> dict[int, float]:
    grams: dict[int, float] = {}
    for pick in sorted(picks, key=lambda pick: flush_number(pick.flush)):
        grams[pick.flush] = grams.get(pick.flush, 0) + above_zero("wet mass of a pick", pick.wet_g)
    return grams


def _per_kg(fresh_g: float, wet_g: float | None) -> float | None:
    return None if wet_g is None else yield_g_per_kg_wet(fresh_g, wet_g)


def _rate(efficiency: tuple[float, float] | None, days: int) -> tuple[float, float] | None:
    if efficiency is None or days <= 0:
        return None
    low, high = efficiency
    return production_rate_pct_per_day(low, days), production_rate_pct_per_day(high, days)


def _dry_down(picks: Sequence[Picked], troubles: list[str]) -> DryDown | None:
    wet = dry = 0.0
    n = 0
    for pick in picks:
        if pick.dry_g is None:
            continue
        ratio = partial(dry_down_ratio, pick.wet_g, pick.dry_g)
        if _or_trouble(troubles, ratio) is not None:
            wet, dry, n = wet + pick.wet_g, dry + pick.dry_g, n + 1
    return DryDown(ratio=dry_down_ratio(wet, dry), wet_g=wet, dry_g=dry, n=n) if n else None


def _or_trouble(troubles: list[str], figure: Callable[[], T]) -> T | None:
    try:
        return figure()
    except Unacceptable as error:
        troubles.append(str(error))
        return None
