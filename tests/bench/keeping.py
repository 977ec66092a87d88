"""What the figures of keeping cost as a farm's loads grow: 2,500 to 10,000 dried picks, twenty in a load, one jar of each load.

Run: pytest -s tests/bench/keeping.py. Prints each beside the bare reading of the same rows, and beside the farm of half the
size: twice as much to tell should take twice as long, not four times. Nothing is asserted.
"""

import sys
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, date, datetime, timedelta
from itertools import count
from random import Random
from time import process_time
from typing import Any
from uuid import UUID

import pytest

from harvestlog.blocks.models import Block, Variety
from harvestlog.harvests.models import Pick
from harvestlog.keeping.models import Drying, DryingPart, DryingWeighing, Jar, Taking
from tests.cast import Cast

SEED = 20260402
SPECIES = ("pleurotus-ostreatus", "hericium-erinaceus", "lentinula-edodes", "")
PICKS_IN_A_LOAD, PICKS_OF_A_BLOCK = 20, 20
KINDS = (Variety, Block, Pick, Drying, DryingPart, DryingWeighing, Jar, Taking)
BEGAN = datetime(2026, 1, 1, 7, tzinfo=UTC)


class Farm:
    """Writes rows straight into the database, each after the ones it names; `dried` begins anew."""

    def __init__(self, cast: Cast) -> None:
        self.cast = cast

    def dried(self, picks: int, varieties: int, methods: Sequence[str], alone: bool) -> None:
        """`alone`: half of the picks were weighed dry by themselves and lay in no load."""
        for kind in KINDS:
            kind.objects.all().delete()
        self.chance, self.seq = Random(SEED), count(1)
        kinds = self._rows(
            Variety, [{"name": f"Variety {n}", "species": SPECIES[n]} for n in range(varieties)]
        )
        picked = self._picked(kinds, picks, alone)
        together = [picked[n : n + PICKS_IN_A_LOAD] for n in range(0, picks, PICKS_IN_A_LOAD)]
        loads = self._loads([batch for batch in together if batch[0].dry_g is None], methods)
        self._jars(loads, kinds)

    def _rows(self, model: Any, fields: Iterable[dict[str, Any]]) -> list[Any]:
        made = [
            model(farm=self.cast.farm, uuid=UUID(int=(n := next(self.seq))), seq=n, **each) for each in fields
        ]
        model.objects.bulk_create(made)
        return made

    def _picked(self, kinds: list[Any], picks: int, alone: bool) -> list[Any]:
        a_block = {"label": "22222", "wet_g": 3000, "dry_basis": "none"}
        of = [{"variety": kinds[n % len(kinds)].uuid} for n in range(picks // PICKS_OF_A_BLOCK)]
        blocks = self._rows(Block, [a_block | each for each in of])
        weights = [self.chance.lognormvariate(5, 0.4) for _ in range(picks)]
        return self._rows(
            Pick,
            [
                {
                    "block": blocks[n // PICKS_OF_A_BLOCK].uuid,
                    "flush": 1,
                    "wet_g": weight,
                    "dry_g": weight / 9 if alone and n // PICKS_IN_A_LOAD % 2 else None,
                    "at": BEGAN + timedelta(hours=n),
                }
                for n, weight in enumerate(weights)
            ],
        )

    def _loads(self, batches: list[list[Any]], methods: Sequence[str]) -> list[Any]:
        def of(n: int, batch: list[Any]) -> dict[str, Any]:
            dry_g = sum(pick.wet_g for pick in batch) / self.chance.uniform(8, 10)
            return {"method": methods[n % len(methods)], "started": BEGAN + timedelta(days=n), "dry_g": dry_g}

        loads = self._rows(Drying, [of(n, batch) for n, batch in enumerate(batches)])
        put_in = [(load, pick) for load, batch in zip(loads, batches, strict=True) for pick in batch]
        self._rows(DryingPart, [{"drying": a.uuid, "pick": b.uuid, "wet_g": b.wet_g} for a, b in put_in])
        again = [(load, hours, load.dry_g + 9 - hours) for load in loads for hours in (8, 9)]
        self._rows(
            DryingWeighing,
            [
                {"drying": a.uuid, "at": a.started + timedelta(hours=h), "mass_g": grams, "cooled": True}
                for a, h, grams in again
            ],
        )
        return loads

    def _jars(self, loads: list[Any], kinds: list[Any]) -> None:
        a_jar = {"label": "J1", "packed": date(2026, 2, 1), "container": "jar", "container_ml": 1000}
        of = [
            {"drying": load.uuid, "variety": kinds[n % len(kinds)].uuid, "dry_g": load.dry_g}
            for n, load in enumerate(loads)
        ]
        jars = self._rows(Jar, [a_jar | each for each in of])
        self._rows(Taking, [{"jar": jar.uuid, "at": BEGAN, "mass_g": jar.dry_g / 3} for jar in jars])


@pytest.fixture
def say(capsys):
    def line(text: str) -> None:
        with capsys.disabled():
            sys.stdout.write(text + "\n")

    return line


@pytest.mark.parametrize(
    ("varieties", "methods", "alone"),
    [
        pytest.param(4, ("freeze", "warm_air", "room_air"), False, id="four varieties, three methods"),
        pytest.param(1, ("warm_air",), False, id="all of one variety and method"),
        pytest.param(4, ("freeze", "warm_air"), True, id="half of the picks weighed dry alone"),
    ],
)
def test_time_of_the_figures_of_keeping(
    cast: Cast,
    say: Callable[[str], None],
    request: pytest.FixtureRequest,
    varieties: int,
    methods: tuple[str, ...],
    alone: bool,
) -> None:
    phone, farm, before = cast.owner.phone, Farm(cast), 0.0
    say(f"\n{request.node.callspec.id}")
    for picks in (2500, 5000, 10_000):
        farm.dried(picks, varieties, methods, alone)
        bare = best_of_three(lambda: [list(kind.objects.filter(farm=cast.farm)) for kind in KINDS])
        took = best_of_three(lambda: phone.get("/api/reports/keeping"))
        growth = f", {took / before:.1f} times the half of it" if before else ""
        say(
            f"{picks:6,} picks {took * 1000:6.0f} ms of work, {took / bare:5.1f} times the bare reading{growth}"
        )
        before = took


def best_of_three(act: Callable[[], object]) -> float:
    """Processor time, as other programs of this machine have no part in it."""
    times = []
    for _ in range(3):
        start = process_time()
        act()
        times.append(process_time() - start)
    return min(times)
