"""How far answers about simulated farms lie from the truth that only the simulator knows."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from math import log
from random import Random
from statistics import fmean

from harvestlog.calc.comparison.answer import Comparison, Verdict
from harvestlog.calc.comparison.blocks import Bought
from harvestlog.calc.figures import block_figures
from harvestlog.calc.forecast import Crop, FlushPrior, crop, next_flush
from harvestlog.calc.suppliers import compare
from tests.calc.simulated import Farm, Life

Answer = Callable[[Farm], Comparison]


@dataclass(frozen=True)
class Score:
    """pairs: one of each farm, by lot. Errors: of the log of how many times as much one supplier gives as the other,
    over the pairs where the plain comparison has an answer. claims: verdicts that are no "cannot tell yet".
    """

    pairs: int
    coverage: float
    width: float
    both_answer: int
    error: float
    plain_error: float
    claims: int
    wrong: float

    @property
    def ratio(self) -> float:
        return self.error / self.plain_error

    def __str__(self) -> str:
        return (
            f"cover {self.coverage:6.1%} of {self.pairs}  width {self.width:.2f}  error {self.error:.3f}"
            f" = {self.ratio:.2f} of plain {self.plain_error:.3f} (on {self.both_answer})"
            f"  wrong {self.wrong:5.1%} of {self.claims} claims"
        )


def as_built(farm: Farm) -> Comparison:
    return compare(farm.blocks, farm.priors, farm.today)


@dataclass(frozen=True)
class _Judged:
    """One pair on the log scale: what was said, what is true, and how far the plain comparison is off."""

    low: float
    value: float
    high: float
    truth: float
    verdict: Verdict
    plain_off: float | None

    @property
    def claim_holds(self) -> bool:
        return (self.verdict == "first") == (self.truth > 0)


def score(farms: Iterable[Farm], answer: Answer = as_built) -> Score:
    """One pair of each farm, drawn with the farm's own seed; farms with no yield at all have none."""
    pairs = list(_judged(farms, answer))
    both = [(abs(pair.value - pair.truth), pair.plain_off) for pair in pairs if pair.plain_off is not None]
    claims = [pair.claim_holds for pair in pairs if pair.verdict != "cannot tell yet"]
    return Score(
        pairs=len(pairs),
        coverage=fmean(pair.low <= pair.truth <= pair.high for pair in pairs),
        width=fmean(pair.high - pair.low for pair in pairs),
        both_answer=len(both),
        error=fmean(off for off, _ in both),
        plain_error=fmean(plain_off for _, plain_off in both),
        claims=len(claims),
        wrong=1 - fmean(claims) if claims else 0.0,
    )


def _judged(farms: Iterable[Farm], answer: Answer) -> Iterator[_Judged]:
    for farm in farms:
        pairs = answer(farm).pairs
        if not pairs:
            continue
        pair = Random(farm.seed).choice(pairs)
        truth = farm.truth[pair.first] - farm.truth[pair.second]
        first, second = (plain_log_mean(farm.blocks, name) for name in (pair.first, pair.second))
        low, value, high = (log(end or 0) for end in (pair.times.low, pair.times.value, pair.times.high))
        plain_off = None if first is None or second is None else abs(first - second - truth)
        yield _Judged(low, value, high, truth, pair.verdict, plain_off)


def plain_log_mean(blocks: Iterable[Bought], supplier: str) -> float | None:
    """What a grower works out by hand: the mean g per kg of the supplier's finished blocks, failed ones as 0."""
    found = [
        block_figures(b.grown).yield_g_per_kg_wet or 0.0
        for b in blocks
        if b.supplier == supplier and b.grown.ended
    ]
    mean = fmean(found) if found else 0.0
    return log(mean) if mean > 0 else None


def changed(alter: Callable[[Bought], Bought | None]) -> Answer:
    """The comparison with every block altered, or left out, before."""

    def answer(farm: Farm) -> Comparison:
        blocks = [kept for block in farm.blocks if (kept := alter(block))]
        return compare(blocks, farm.priors, farm.today)

    return answer


@dataclass(frozen=True)
class Foretold:
    """One forecast and what came of it: the days and grams None where no flush came."""

    day_held: bool | None
    grams_held: bool | None
    said_nothing: float
    nothing: bool
    n: int


def foretold(farm: Farm) -> list[Foretold]:
    """The forecasts for all blocks of a farm that are not over and have no flush half picked, as of its day."""
    crops = {life.bought.key: _crop(life, farm.today) for life in farm.lives}
    return [
        _foretold(life, crops[life.bought.key], list(crops.values()), farm)
        for life in farm.lives
        if not crops[life.bought.key].over and not _half_picked(life, farm.today)
    ]


def _crop(life: Life, today: date) -> Crop:
    return crop(life.cut(today).grown, today, [day for day in life.soaked if day <= today])


def _half_picked(life: Life, today: date) -> bool:
    begun = {pick.flush for pick in life.bought.grown.picks if pick.day <= today}
    return any(pick.flush in begun for pick in life.bought.grown.picks if pick.day > today)


def _foretold(life: Life, block: Crop, crops: list[Crop], farm: Farm) -> Foretold:
    prior = FlushPrior(yield_g_per_kg_wet=farm.priors.yield_g_per_kg_wet[block.variety])
    said = next_flush(block, crops, prior)
    came = [pick for pick in life.bought.grown.picks if pick.flush == said.flush]
    assert said.days
    assert said.grams
    assert said.first_day
    assert said.last_day
    assert said.chance_of_nothing is not None
    first, grams = min((p.day for p in came), default=None), sum(p.wet_g for p in came)
    return Foretold(
        day_held=None if first is None else said.first_day <= first <= said.last_day,
        grams_held=said.grams.low <= grams <= said.grams.high if came else None,
        said_nothing=said.chance_of_nothing,
        nothing=not came,
        n=said.days.n,
    )


def all_ended(block: Bought) -> Bought:
    """An unfinished block taken for a finished one, whatever it had given."""
    return replace(block, grown=replace(block.grown, ended=True))


def only_ended(block: Bought) -> Bought | None:
    return block if block.grown.ended else None


def of_one_variety(block: Bought) -> Bought:
    return replace(block, grown=replace(block.grown, variety="any"))
