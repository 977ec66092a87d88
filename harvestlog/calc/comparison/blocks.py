"""A bought block as suppliers are compared by it: its fate so far, and what each finished flush had brought it to."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import accumulate
from typing import Literal

from harvestlog.calc.acceptable import flush_number, zero_or_more
from harvestlog.calc.figures import Grown, Picked

Fate = Literal["gave", "failed", "growing"]

# After the last pick a flush is taken as still going for a week, as in states (common practice, no source).
STILL_FRUITING_DAYS = 7


@dataclass(frozen=True, kw_only=True)
class Bought:
    """One block from a supplier; `lot` names its delivery.

    supplier, variety: as they are to be read; two of one name must be told apart before. price: of this block.
    """

    key: str
    supplier: str
    grown: Grown
    lot: str = ""
    price: float | None = None
    currency: str = ""


@dataclass(frozen=True, kw_only=True)
class Standing:
    """What a block has come to by some day.

    fate: "gave" something, "failed" (over without a gram), or still "growing" and nothing picked yet.
    over: nothing more is awaited. after: grams after each finished flush, summed; the whole harvest when over.
    block: with its picks above 0 g; empty_picks: how many others it had.
    """

    block: Bought
    fate: Fate
    over: bool
    after: tuple[float, ...]
    empty_picks: int

    @property
    def flushes(self) -> int:
        return len(self.after)


def standing(block: Bought, today: date, over_after_days: int) -> Standing:
    """Fate and finished flushes of a block on the day `today`.

    A flush is finished once a later one was picked, a week after its last pick, or when the block is over. A block
    is over once noted as spent or discarded, or `over_after_days` after its last pick. Picks of 0 g are no picks.
    Raises NotANumber, BelowZero, NotAFlush for an impossible pick.
    """
    picks = [p for p in block.grown.picks if zero_or_more("wet mass of a pick", p.wet_g) > 0]
    grams = _by_flush(picks)
    quiet_days = (today - max(p.day for p in picks)).days if picks else 0
    over = block.grown.ended or quiet_days >= over_after_days
    done = len(grams) if over or quiet_days > STILL_FRUITING_DAYS else max(len(grams) - 1, 0)
    return Standing(
        block=replace(block, grown=replace(block.grown, picks=picks)),
        fate="gave" if picks else "failed" if over else "growing",
        over=over,
        after=tuple(accumulate(grams[:done])),
        empty_picks=len(block.grown.picks) - len(picks),
    )


def last_day(blocks: Sequence[Bought]) -> date:
    """The latest day any of the blocks speaks of; the first day of the calendar when none does."""
    days = [
        day
        for block in blocks
        for day in (block.grown.received, block.grown.opened, *(p.day for p in block.grown.picks))
        if day is not None
    ]
    return max(days, default=date.min)


def _by_flush(picks: Iterable[Picked]) -> list[float]:
    grams: dict[int, float] = {}
    for pick in sorted(picks, key=lambda p: flush_number(p.flush)):
        grams[pick.flush] = grams.get(pick.flush, 0.0) + pick.wet_g
    return list(grams.values())
