"""Farms made by chance whose truth is known: what each supplier is worth, and how each block will end.

Two worlds. `farm` is a plausible one. `unruly_farm` breaks what the comparison takes for granted: suppliers suit some
varieties and not others, vary unlike each other, and the season drifts while suppliers deliver at different times.
Neither is the model turned round: the noise is a Gaussian with outliers, not a Student t; harvests end by chance flush
by flush; timings, lots, picks and forgotten notes are made up block by block.
"""

from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from math import exp, log
from random import Random

from harvestlog.calc.comparison.blocks import Bought
from harvestlog.calc.comparison.priors import Priors
from harvestlog.calc.figures import Grown, Picked
from harvestlog.calc.ranges import Range
from harvestlog.calc.yields import Basis

FIRST_DAY = date(2026, 1, 1)
SPLIT = (0.49, 0.31, 0.20, 0.12, 0.08)


@dataclass(frozen=True, kw_only=True)
class Life:
    """A block's whole life; `cut` is how it looks on some day of it."""

    bought: Bought
    ended: date | None
    soaked: list[date]

    def cut(self, today: date) -> Bought:
        grown = self.bought.grown
        return replace(
            self.bought,
            grown=replace(
                grown,
                picks=[pick for pick in grown.picks if pick.day <= today],
                ended=self.ended is not None and self.ended <= today,
            ),
        )


@dataclass(frozen=True, kw_only=True)
class Farm:
    """truth: log of the grams per kg bought that each supplier is worth, failures counted in, up to a constant."""

    seed: int
    lives: list[Life]
    today: date
    truth: dict[str, float]
    priors: Priors

    @property
    def blocks(self) -> list[Bought]:
        return [life.cut(self.today) for life in self.lives]


@dataclass
class _World:
    chance: Random
    suppliers: list[str]
    varieties: list[str]
    season: int
    effect: dict[str, float] = field(default_factory=dict)
    fails: dict[str, float] = field(default_factory=dict)
    pace: dict[str, float] = field(default_factory=dict)
    noise: dict[str, float] = field(default_factory=dict)
    level: dict[str, float] = field(default_factory=dict)
    another: dict[str, tuple[float, ...]] = field(default_factory=dict)
    suits: dict[tuple[str, str], float] = field(default_factory=dict)
    lots: float = 0.0
    within: float = 0.0
    drift: float = 0.0
    outliers: float = 0.1


def farm(seed: int, blocks: int | None = None, suppliers: int | None = None) -> Farm:
    """A farm of 6 to 60 blocks from 2 to 5 suppliers; the same seed gives the same farm."""
    return _farm(seed, blocks, suppliers, unruly=False)


def unruly_farm(seed: int, blocks: int | None = None, suppliers: int | None = None) -> Farm:
    """The same with supplier by variety effects, unlike spreads and a drift over the season."""
    return _farm(seed, blocks, suppliers, unruly=True)


def _farm(seed: int, blocks: int | None, suppliers: int | None, unruly: bool) -> Farm:
    chance = Random(seed)
    n = blocks or chance.randint(6, 60)
    world, priors = _world(chance, suppliers or chance.randint(2, min(5, n // 3)), unruly)
    lives = _lives(world, n)
    counted = [life.bought for life in lives]
    truth = {}
    for supplier in world.suppliers:
        gives = sum(exp(world.suits[supplier, b.grown.variety]) for b in counted) / len(counted)
        truth[supplier] = (
            world.effect[supplier]
            + log(gives)
            + _log_mean_noise(world, supplier)
            + log(1 - world.fails[supplier])
        )
    return Farm(
        seed=seed, lives=lives, today=FIRST_DAY + timedelta(days=world.season), truth=truth, priors=priors
    )


def _log_mean_noise(world: _World, supplier: str) -> float:
    usual, outlying = exp(world.noise[supplier] ** 2 / 2), exp((3 * world.within) ** 2 / 2)
    return log((1 - world.outliers) * usual + world.outliers * outlying)


def _world(chance: Random, suppliers: int, unruly: bool) -> tuple[_World, Priors]:
    world = _World(
        chance,
        [f"supplier {i + 1}" for i in range(suppliers)],
        [f"variety {i + 1}" for i in range(chance.randint(1, 4))],
        season=chance.randint(60, 250),
        lots=chance.uniform(0, 0.2),
        within=chance.uniform(0.15, 0.35),
        drift=chance.uniform(-0.3, 0.3) if unruly else 0.0,
    )
    between = chance.uniform(0.05, 0.4)
    for supplier in world.suppliers:
        world.effect[supplier] = chance.gauss(0, between)
        world.fails[supplier] = min(0.9, chance.betavariate(1.2, 10.8))
        world.pace[supplier] = chance.gauss(0, 0.15)
        world.noise[supplier] = world.within * (chance.uniform(0.6, 1.6) if unruly else 1)
        for variety in world.varieties:
            world.suits[supplier, variety] = chance.gauss(0, 0.15) if unruly else 0.0
    here, ranges = chance.gauss(0, 0.3), {}
    for variety in world.varieties:
        usual = exp(chance.uniform(log(120), log(320)))
        ranges[variety] = Range(usual / 1.6, usual * 1.6)
        world.level[variety] = log(usual) + here + chance.gauss(0, 0.25)
        fall = chance.uniform(0.5, 1.0)
        world.another[variety] = tuple(p * fall for p in (0.95, 0.75, 0.5, 0.3))
    return world, Priors(yield_g_per_kg_wet=ranges)


def _lives(world: _World, blocks: int) -> list[Life]:
    chance = world.chance
    share = {s: chance.uniform(0.3, 1.5) for s in world.suppliers}
    likes = {(s, v): chance.choice((0.3, 1.0, 3.0)) for s in world.suppliers for v in world.varieties}
    when = {s: chance.uniform(0, 1) for s in world.suppliers}
    lives: list[Life] = []
    while len(lives) < blocks:
        # each supplier comes first with two blocks of its own
        supplier = (
            world.suppliers[len(lives) // 2]
            if len(lives) < 2 * len(world.suppliers)
            else chance.choices(world.suppliers, [share[s] for s in world.suppliers])[0]
        )
        variety = chance.choices(world.varieties, [likes[supplier, v] for v in world.varieties])[0]
        part = chance.betavariate(1 + 2 * when[supplier], 3 - 2 * when[supplier])
        came = int(part * (world.season - 3))
        size = 2 if len(lives) < 2 * len(world.suppliers) else chance.randint(1, 8)
        lot_effect = chance.gauss(0, world.lots) + world.drift * (came / world.season - 0.5)
        for _ in range(min(size, blocks - len(lives))):
            lives.append(_life(world, f"block {len(lives) + 1}", supplier, variety, came, lot_effect))
    return lives


def _life(world: _World, key: str, supplier: str, variety: str, came: int, lot_effect: float) -> Life:
    chance = world.chance
    received = FIRST_DAY + timedelta(days=came)
    wet_g = chance.choice((1000.0, 2000.0, 3000.0)) * chance.uniform(0.9, 1.1)
    failed = chance.random() < world.fails[supplier]
    picks, soaked, last = _crop(world, supplier, variety, wet_g, lot_effect)
    if failed:
        picks, soaked, last = [], [], chance.randint(12, 45)
    ended = received + timedelta(days=last + (0 if failed else chance.randint(2, 25)))
    return Life(
        bought=Bought(
            key=key,
            supplier=supplier,
            lot=f"{supplier} {received.isoformat()} {variety}",
            grown=Grown(
                variety=variety,
                basis=Basis(kind="none"),
                wet_g=wet_g,
                received=received,
                contaminated=failed,
                picks=[replace(p, day=p.day + (received - FIRST_DAY)) for p in picks],
            ),
        ),
        ended=ended if failed or chance.random() < 0.9 else None,
        soaked=[received + timedelta(days=day) for day in soaked],
    )


def _crop(
    world: _World, supplier: str, variety: str, wet_g: float, lot_effect: float
) -> tuple[list[Picked], list[int], int]:
    """Picks counted from FIRST_DAY as if received then, the days it came out of a soak, the day of the last pick."""
    chance = world.chance
    sd = 3 * world.within if chance.random() < world.outliers else world.noise[supplier]
    log_yield = (
        world.level[variety]
        + world.effect[supplier]
        + world.suits[supplier, variety]
        + lot_effect
        + chance.gauss(0, sd)
    )
    quick = chance.gauss(0, 0.15)
    day = exp(log(15) + world.pace[supplier] + quick + chance.gauss(0, 0.2))
    picks: list[Picked] = []
    soaked: list[int] = []
    for flush, part in enumerate(SPLIT, start=1):
        grams = wet_g / 1000 * exp(log_yield + chance.gauss(0, 0.2)) * part
        last_picks = _flush(chance, flush, grams, day)
        picks += last_picks
        last = (last_picks[-1].day - FIRST_DAY).days
        day = last + exp(log(11) + quick + chance.gauss(0, 0.3))
        if chance.random() < 0.4:
            soaked.append(last + chance.randint(2, 7))
            day = soaked[-1] + exp(log(8) + quick + chance.gauss(0, 0.3))
        if flush == len(SPLIT) or chance.random() > world.another[variety][flush - 1]:
            break
    return picks, soaked, (picks[-1].day - FIRST_DAY).days


def _flush(chance: Random, flush: int, grams: float, day: float) -> list[Picked]:
    parts = [chance.uniform(0.5, 1.5) for _ in range(chance.randint(1, 3))]
    return [
        Picked(day=FIRST_DAY + timedelta(days=int(day) + i), wet_g=grams * part / sum(parts), flush=flush)
        for i, part in enumerate(parts)
    ]
