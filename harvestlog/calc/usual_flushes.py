"""What is usual of flushes before a farm has any, and how a farm's own bend it: waits, masses, the chance of none."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import log, sqrt

from harvestlog.calc.crops import Crop, Wait, log_waits, log_yields
from harvestlog.calc.next_value import Next, Usual, next_value
from harvestlog.calc.ranges import Range

AS_USUAL = 3  # flushes that count as usual beside the farm's own of one number

# Days from opening: pins in 3 to 5, harvest in 4 to 7 more, with a week to spare (common practice, no source).
_FIRST_DAYS = Range(8, 25)
# 7 to 14 days between flushes (common practice, no source); a soak is taken to save a day (judgement, no source).
_RESTED_DAYS = Range(7, 14)
_SOAKED_DAYS = Range(6, 13)
# Saleable yields of 150 to 300 g per kg supplied (common practice, no source), widened.
_YIELD = Range(100, 350)
# One straw trial of oyster, 648/420/259 g (Agarawal & Topwal 2018, Int J Chem Stud 6(6):1274).
_SHARES = (0.488, 0.317, 0.195)
# 2 to 3 flushes are worth waiting for (common practice, no source); the figures are judgement.
_NOTHING_AFTER = (0.10, 0.15, 0.40, 0.65, 0.80)


@dataclass(frozen=True, kw_only=True)
class FlushPrior:
    """What is usual of a variety; `basis` names where from, as in "published range".

    first_days, rested_days, soaked_days: waits. pin_days: from pins to picking, None where not known. yield_g_per_kg_wet: of a whole harvest. shares: of flush 1, 2, 3 in
    it; later ones fall on as the last two did. nothing_after: chance of no other flush after 0, 1, 2 of them, the
    last for all later ones, worth so many blocks. wait_sd, mass_sd: how far one farm's flushes lie apart, on the log
    scale; wait_alike, mass_alike: the share of it that a block keeps; both worth so many flushes (judgement, no source).
    """

    first_days: Range = _FIRST_DAYS
    rested_days: Range = _RESTED_DAYS
    soaked_days: Range = _SOAKED_DAYS
    pin_days: Range | None = None
    yield_g_per_kg_wet: Range = _YIELD
    shares: tuple[float, ...] = _SHARES
    nothing_after: tuple[float, ...] = _NOTHING_AFTER
    nothing_worth: float = 4.0
    wait_sd: float = 0.30
    mass_sd: float = 0.40
    worth: float = 4.0
    wait_alike: float = 0.3
    mass_alike: float = 0.5
    basis: str = "usual range"

    def share(self, number: int) -> float:
        """Usual share of flush `number` in the whole harvest; past the last one known it falls on at the same rate."""
        *_, before, last = (1.0, *self.shares)
        past = max(number - len(self.shares), 0)
        return last * (last / before) ** past if past else self.shares[number - 1]


# For 4 to 7 days from pins to harvest these two give _FIRST_DAYS itself.
_BEFORE_PINS, _PINS_AND_TO_SPARE = 4, 18
_SOAK_SAVES = 1
# A range of days narrower than this, between its ends, is one farm's: it is widened about its middle (judgement, no source).
_NARROWEST = 1.5


def flush_prior(
    first_days: tuple[float, float] | None = None,
    pin_days: tuple[float, float] | None = None,
    between_days: tuple[float, float] | None = None,
) -> FlushPrior:
    """What is usual of a species, from ranges of days above 0: to the first crop, from pins to harvest, between flushes.

    What is not known stays as usual of all, and days from pins to harvest unknown. Days from pins count for the first wait only where days to the first
    crop are not known. Source: the catalogue's own, mostly common practice.
    """
    pins = None if pin_days is None else Range(*pin_days)
    if first_days is None and pin_days is not None:
        first_days = pin_days[0] + _BEFORE_PINS, pin_days[1] + _PINS_AND_TO_SPARE
    first = _FIRST_DAYS if first_days is None else _wide(first_days)
    if between_days is None:
        return FlushPrior(first_days=first, pin_days=pins)
    rested = _wide(between_days)
    soaked = Range(max(rested.low - _SOAK_SAVES, 1), max(rested.high - _SOAK_SAVES, 1))
    return FlushPrior(first_days=first, rested_days=rested, soaked_days=soaked, pin_days=pins)


def _wide(days: tuple[float, float]) -> Range:
    low, high = days
    if high >= _NARROWEST * low:
        return Range(low, high)
    middle, half = sqrt(low * high), sqrt(_NARROWEST)
    return Range(middle / half, middle * half)


def log_wait(block: Crop, others: Sequence[Crop], kind: Wait, prior: FlushPrior) -> tuple[Next, int]:
    """Log days to the next flush after such a wait, and how many of the farm's waits it rests on."""
    usual = {"first": prior.first_days, "rested": prior.rested_days, "soaked": prior.soaked_days}[kind]
    own, rows = log_waits(block, kind), [log_waits(each, kind) for each in others]
    expected = Usual(
        centre=usual.log_middle,
        between=usual.log_sd,
        within=prior.wait_sd,
        worth=prior.worth,
        alike=prior.wait_alike,
    )
    return next_value(own, rows, expected), len(own) + sum(map(len, rows))


def log_mass(block: Crop, others: Sequence[Crop], number: int, prior: FlushPrior) -> tuple[Next, int]:
    """Log g per kg wet of flush `number`, and how many of the farm's flushes it rests on.

    Each flush is set against its usual share of a usual harvest. What a farm's flushes of one number have in common
    beyond its level is taken out of them, and put back for the one to come.
    """
    level = prior.yield_g_per_kg_wet
    expected = Usual(
        centre=level.log_middle,
        between=level.log_sd,
        within=prior.mass_sd,
        worth=prior.worth,
        alike=prior.mass_alike,
    )
    rows = [[(k, y - log(prior.share(k))) for k, y in log_yields(each)] for each in (block, *others)]
    typical = next_value([], [[y for _, y in row] for row in rows], expected).centre
    lift = _lift(rows, typical)
    own, *rest = [[y - lift[k] for k, y in row] for row in rows]
    found = next_value(own, rest, expected)
    shift = log(prior.share(number)) + lift.get(number, 0.0)
    return replace(found, centre=found.centre + shift), sum(map(len, rows))


def _lift(rows: Sequence[Sequence[tuple[int, float]]], typical: float) -> dict[int, float]:
    """By how much the flushes of each number lie above the farm's level, as if AS_USUAL more lay on it."""
    above: defaultdict[int, list[float]] = defaultdict(list)
    for row in rows:
        for number, y in row:
            above[number].append(y - typical)
    return {number: sum(found) / (len(found) + AS_USUAL) for number, found in above.items()}


def nothing_after(flushes: int, others: Sequence[Crop], prior: FlushPrior) -> float:
    """Chance that a block with so many flushes is over without another: the usual one and the farm's blocks'."""
    usual = prior.nothing_after[min(flushes, len(prior.nothing_after) - 1)]
    ended = sum(each.over and len(each.flushes) == flushes for each in others)
    went_on = sum(len(each.flushes) > flushes for each in others)
    return (prior.nothing_worth * usual + ended) / (prior.nothing_worth + ended + went_on)
