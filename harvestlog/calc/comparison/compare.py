"""Comparing suppliers fairly, with few blocks of many kinds.

How the parts go together:

1. Unit. Biological efficiency where every block's dry mass is known, else grams per kg of wet block.
2. Yield of a block that gives (yield_model, partial_pooling): log yield = farm + variety + supplier + cell + lot +
   noise; varieties lean on what is usual of them, suppliers on each other. An unfinished block enters with its
   finished flushes, brought forward (unfinished); one that has finished none waits.
3. Failures (failures): the share of blocks that give nothing, beta-binomial. Blocks not yet picked and not over have
   no known fate and wait. A failed block never enters part 2, and is never lost: the two are put together as
   log expected yield = log(1 - share that fails) + log typical yield + half the variance of a block.
4. Two suppliers: the distribution of the difference of their log expected yields, at the mix of varieties compared,
   gives the interval and the chance that one gives more. "Better" is said from a chance of 0.90 on and three blocks
   with a known fate on either side; otherwise it cannot be told yet.
5. Days to first harvest (survival): Kaplan-Meier over the blocks that give or still may, those waiting censored.
6. Money (money): price over expected grams; dried ones by how the varieties dried down, alone or in loads (dried).
   Who costs less is said where the intervals of the two prices lie apart.

Known weaknesses. Failures are not told apart by variety. A block that failed is known to have failed earlier or
later than a good one is known to be good; while both are waited for, the share leans that way, for all suppliers alike.
Suppliers that deliver in different months are compared through the weather of those months.
"""

from collections.abc import Sequence
from datetime import date
from itertools import combinations
from math import exp

from harvestlog.calc.comparison import mixture, sentences
from harvestlog.calc.comparison.answer import (
    Behind,
    Comparison,
    Counted,
    Figure,
    Pair,
    SupplierFigures,
    Verdict,
)
from harvestlog.calc.comparison.blocks import Bought, Standing, last_day
from harvestlog.calc.comparison.dried import DriedLoad
from harvestlog.calc.comparison.failures import mean_share, quantiles
from harvestlog.calc.comparison.first_harvest import days_to_first_harvest
from harvestlog.calc.comparison.money import prices
from harvestlog.calc.comparison.priors import Priors
from harvestlog.calc.comparison.troubles import troubles
from harvestlog.calc.comparison.whole import Whole, the_whole
from harvestlog.calc.comparison.yields import YieldFit, size_of

USUAL = Priors()


def compare(
    blocks: Sequence[Bought],
    priors: Priors = USUAL,
    today: date | None = None,
    loads: Sequence[DriedLoad] = (),
) -> Comparison:
    """Each supplier's yield, failures, days to first harvest and prices, and what can be said of each pair.

    Valid for any number of blocks, unfinished and failed ones included, each under a key of its own. today: the day
    up to which the records go; the latest day they speak of when it is not given. loads: finished ones that hold picks
    of these blocks. Intervals hold `priors.level`.
    Source and weaknesses: see the module. Raises NotANumber, BelowZero, NotAFlush for an impossible pick or price.
    """
    whole = the_whole(blocks, priors, today or last_day(blocks), loads)
    fit = whole.fit
    pairs = [_pair(whole, fit, *names) for names in combinations(whole.suppliers, 2)] if fit else []
    picked = sum(s.fate == "gave" for s in whole.standings)
    suppliers = tuple(_supplier(whole, name) for name in whole.suppliers)
    return Comparison(
        unit=whole.unit,
        day=whole.day,
        level=priors.level,
        sentence=sentences.on_top(pairs, len(whole.suppliers), len(blocks), picked),
        price_sentence=_price_sentence(whole, pairs, suppliers),
        suppliers=suppliers,
        pairs=tuple(pairs),
        troubles=troubles(whole.standings, whole.unit, whole.day),
    )


def _supplier(whole: Whole, name: str) -> SupplierFigures:
    theirs = whole.of(name)
    failed = sum(s.fate == "failed" for s in theirs)
    typical, expected = _yields(whole, name)
    money = prices(whole, name)
    mass = whole.failing[whole.suppliers.index(name)]
    tails = (1 - whole.priors.level) / 2, (1 + whole.priors.level) / 2
    low, high = quantiles(mass, tails)
    return SupplierFigures(
        supplier=name,
        received=len(theirs),
        finished=sum(s.over for s in theirs),
        unfinished=sum(not s.over for s in theirs),
        failed=failed,
        contaminated=sum(s.block.grown.contaminated for s in theirs),
        typical=typical,
        expected=expected,
        failures=sentences.failure_share(
            failed, whole.known(name), (mean_share(mass), float(low), float(high))
        ),
        days_to_first_harvest=days_to_first_harvest(theirs, whole.day, whole.priors.level),
        currency=money.currency,
        price_per_kg_fresh=money.per_kg_fresh,
        price_per_100_g_dried=money.per_100_g_dried,
        behind=tuple(_behind(whole, s) for s in theirs),
    )


def _yields(whole: Whole, name: str) -> tuple[Figure, Figure]:
    """Typical and expected yield of one supplier."""
    entered = whole.entered(name)
    if whole.fit is None or not entered:
        why = sentences.no_yield(whole.of(name), whole.unit)
        return why, why
    unfinished = sum(not y.standing.over for y in entered)
    failed = sum(s.fate == "failed" for s in whole.of(name))
    level = mixture.of_gaussians(whole.fit.fit.weight, *whole.fit.level(name))
    counted_in = mixture.of_sum(level + whole.fit.log_mean_over_median(), whole.gives(name))
    ends, all_in = (_exp(mixture.interval(atoms, whole.priors.level)) for atoms in (level, counted_in))
    unit = sentences.UNITS[whole.unit]
    return (
        sentences.said("A block that gives brings", ends, unit, len(entered), unfinished),
        sentences.said(
            "Failures counted in, a block brings", all_in, unit, len(entered) + failed, unfinished
        ),
    )


def _pair(whole: Whole, fit: YieldFit, first: str, second: str) -> Pair:
    ahead = mixture.of_sum(whole.gives(first), -whole.gives(second)[::-1])
    atoms = mixture.of_sum(fit.difference(first, second), ahead)
    chance = mixture.chance_above_zero(atoms)
    known = whole.known(first), whole.known(second)
    alike = bool({y.variety for y in whole.entered(first)} & {y.variety for y in whole.entered(second)})
    enough = min(known) >= whole.priors.fewest
    verdict: Verdict = "cannot tell yet"
    if enough and max(chance, 1 - chance) >= whole.priors.claim:
        verdict = "first" if chance > 0.5 else "second"
    value, low, high = _exp(mixture.interval(atoms, whole.priors.level))
    return Pair(
        first=first,
        second=second,
        chance=chance,
        times=Figure(
            value=value,
            low=low,
            high=high,
            n=sum(known),
            unfinished=sum(not y.standing.over for name in (first, second) for y in whole.entered(name)),
            sentence=sentences.of_pair(first, second, chance, verdict, known, alike, whole.priors),
        ),
        enough=enough,
        alike=alike,
        verdict=verdict,
    )


def _price_sentence(whole: Whole, pairs: Sequence[Pair], suppliers: Sequence[SupplierFigures]) -> str:
    """Of the two suppliers that the sentence on top is about, where both have the blocks a verdict needs."""
    if not pairs or not (pair := sentences.surest(pairs)).enough:
        return ""
    first, second = (each for each in suppliers if each.supplier in (pair.first, pair.second))
    sold = {s.block.grown.variety for name in (pair.first, pair.second) for s in whole.of(name)}
    return sentences.of_prices(first, second, len(sold) == 1)


def _behind(whole: Whole, each: Standing) -> Behind:
    size = size_of(each.block, whole.unit)
    so_far = each.after[-1] / size if size and each.after else None
    taken = whole.log_yields.get(each.block.key)
    return Behind(
        key=each.block.key,
        counted=_counted(each, size),
        so_far=so_far,
        taken_as=None if taken is None else exp(taken),
        weight=whole.fit.weight_of.get(each.block.key) if whole.fit else None,
    )


def _counted(each: Standing, size: float | None) -> Counted:
    if each.fate == "failed":
        return "failed"
    if not each.after:
        return "too early"
    if size is None:
        return "no mass"
    return "whole" if each.over else "brought forward"


def _exp(ends: tuple[float, float, float]) -> tuple[float, float, float]:
    value, low, high = ends
    return exp(value), exp(low), exp(high)
