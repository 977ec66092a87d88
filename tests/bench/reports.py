"""What a large farm's reports cost: 500 blocks with 10,000 picks, asked for as a phone asks.

Run: pytest -s tests/bench/reports.py. Prints each beside the bare reading of the same rows; nothing is asserted.
"""

import sys
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from functools import partial
from random import Random
from time import perf_counter
from uuid import UUID

import pytest

from harvestlog.blocks.models import Block, Delivery, Happening, Supplier, Variety
from harvestlog.harvests.models import Pick
from tests.cast import Browser, Cast

BLOCKS, PICKS_EACH, SUPPLIERS, VARIETIES = 500, 20, 8, 4
SEED = 20260401


@pytest.fixture
def large_farm(cast: Cast) -> Cast:
    chance, seq = Random(SEED), iter(range(1, 10**6))

    def rows(model, fields):
        made = [
            model(farm=cast.farm, uuid=UUID(int=n), seq=n, **each)
            for n, each in zip(seq, fields, strict=False)
        ]
        model.objects.bulk_create(made)
        return made

    suppliers = rows(Supplier, [{"name": f"Supplier {n}"} for n in range(SUPPLIERS)])
    species = ["pleurotus-ostreatus", "hericium-erinaceus", "lentinula-edodes", ""]
    varieties = rows(Variety, [{"name": f"Variety {n}", "species": species[n]} for n in range(VARIETIES)])
    lots = rows(
        Delivery,
        [
            {
                "supplier": chance.choice(suppliers).uuid,
                "received": date(2026, 1, 1) + timedelta(days=3 * n),
                "count": 10,
                "price": 90,
                "currency": "EUR",
            }
            for n in range(BLOCKS // 10)
        ],
    )
    blocks = rows(
        Block,
        [
            {
                "label": "22222",
                "delivery": lots[n // 10].uuid,
                "variety": chance.choice(varieties).uuid,
                "wet_g": 3000,
                "dry_basis": "none",
            }
            for n in range(BLOCKS)
        ],
    )
    began = {lot.uuid: datetime.combine(lot.received, datetime.min.time(), UTC) for lot in lots}
    rows(
        Pick,
        [
            {
                "block": block.uuid,
                "flush": 1 + n // 8,
                "wet_g": chance.lognormvariate(3.5, 0.4),
                "at": began[block.delivery] + timedelta(days=14 + 2 * n),
            }
            for block in blocks
            for n in range(PICKS_EACH)
        ],
    )
    ended = [block for block in blocks if chance.random() < 0.8]
    rows(
        Happening,
        [{"block": b.uuid, "what": "spent", "at": began[b.delivery] + timedelta(days=70)} for b in ended],
    )
    return cast


@pytest.fixture
def say(capsys):
    def line(text: str) -> None:
        with capsys.disabled():
            sys.stdout.write(text + "\n")

    return line


def test_time_of_a_large_farms_reports(large_farm: Cast, say: Callable[[str], None]) -> None:
    kinds = (Supplier, Variety, Delivery, Block, Happening, Pick)
    bare = best_of_three(lambda: [list(kind.objects.filter(farm=large_farm.farm)) for kind in kinds])
    say(f"{BLOCKS} blocks with {BLOCKS * PICKS_EACH:,} picks; bare reading of the rows {bare * 1000:.0f} ms")
    phone = large_farm.owner.phone
    block = Block.objects.earliest("seq").uuid
    for path in ("comparison", "season", f"blocks/{block}", "records.zip", "records.json"):
        took = best_of_three(partial(fetch, phone, path))
        say(f"{path.split('/')[0]:14} {took * 1000:5.0f} ms, ratio {took / bare:.1f}")


def fetch(phone: Browser, path: str) -> bytes:
    answer = phone.get(f"/api/reports/{path}")
    assert answer.status_code == 200
    return b"".join(answer)


def best_of_three(act: Callable[[], object]) -> float:
    times = []
    for _ in range(3):
        start = perf_counter()
        act()
        times.append(perf_counter() - start)
    return min(times)
