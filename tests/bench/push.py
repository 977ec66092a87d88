"""What it costs a push that an acknowledged record outlives a power cut: SQLite's synchronous=FULL against NORMAL.

Run: pytest -s tests/bench/push.py (under half a minute). Prints operations a second, and how many times as long as its
floor a push takes: as many bare rows of the same size in one transaction of sqlite3, same pragma, same folder, in turn.
No time is asserted. The folder is made in the checkout: a temporary one may be memory, where the disk costs nothing.
"""

import json
import sqlite3
import sys
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter
from uuid import UUID, uuid4

import pytest
from django.core.management import call_command
from django.db import connection

from harvestlog.accounts.access import Member
from harvestlog.sync.forms import Push
from harvestlog.sync.push import push
from tests.sync.farms import new_farm, new_member, pick

CHECKOUT = Path(__file__).parents[2]
ROUNDS = {1: 50, 10: 16, 100: 5}  # by operations in a batch
PRAGMAS = ("FULL", "NORMAL")

pytestmark = pytest.mark.skipif(connection.vendor != "sqlite", reason="a setting of SQLite")


@pytest.fixture
def folder(django_db_blocker) -> Iterator[Path]:
    """A migrated database in a folder of its own on the checkout's disk, as the default one."""
    before = connection.settings_dict["NAME"]
    with TemporaryDirectory(dir=CHECKOUT, prefix=".bench-") as name, django_db_blocker.unblock():
        connection.close()
        connection.settings_dict["NAME"] = Path(name) / "harvestlog.sqlite3"
        call_command("migrate", verbosity=0)
        yield Path(name)
        connection.close()
        connection.settings_dict["NAME"] = before


@pytest.fixture
def say(capsys) -> Callable[[str], None]:
    def line(text: str) -> None:
        with capsys.disabled():
            sys.stdout.write(text + "\n")

    return line


def a_batch(epoch: UUID, device: UUID, size: int) -> Push:
    """Picks of one block, as a phone sends them after a harvest."""
    block = str(uuid4())
    ops = [
        {"id": str(uuid4()), "verb": "add", "kind": "pick", "row": str(uuid4()), "base": 0,
         "at": "2026-05-03T07:41:00Z", "fields": pick(block)}
        for _ in range(size)
    ]  # fmt: skip
    body = {"epoch": str(epoch), "device": str(device), "app_version": "", "ops": ops}
    return Push.model_validate_json(json.dumps(body))


class Pushing:
    """The server's push, below HTTP."""

    def __init__(self) -> None:
        farm = new_farm()
        self.epoch, self.member = farm.epoch, new_member(farm)

    def seconds(self, pragma: str, size: int) -> float:
        with connection.cursor() as cursor:
            cursor.execute(f"PRAGMA synchronous={pragma}")
        batch = a_batch(self.epoch, self.member.device, size)
        return timed(lambda: applied(self.member, batch))


class Bare:
    """Rows and nothing else, in a database beside."""

    def __init__(self, folder: Path) -> None:
        self.file = sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)
        self.file.execute("PRAGMA journal_mode=WAL")
        self.file.execute("CREATE TABLE row (n INTEGER PRIMARY KEY, said TEXT)")
        self.numbers = count(1)

    def seconds(self, pragma: str, size: int) -> float:
        self.file.execute(f"PRAGMA synchronous={pragma}")
        ops = a_batch(uuid4(), uuid4(), size).ops
        rows = [(next(self.numbers), op.model_dump_json()) for op in ops]
        return timed(lambda: self._write(rows))

    def _write(self, rows: list[tuple[int, str]]) -> None:
        self.file.execute("BEGIN IMMEDIATE")
        self.file.executemany("INSERT INTO row VALUES (?, ?)", rows)
        self.file.execute("COMMIT")


def timed(act: Callable[[], object]) -> float:
    start = perf_counter()
    act()
    return perf_counter() - start


def applied(member: Member, batch: Push) -> None:
    """A batch that was refused would be quick, and say nothing."""
    answer = push(member, batch)
    assert [result.status for result in answer.results] == ["applied"] * len(batch.ops)


def test_price_of_waiting_for_the_disk(folder: Path, say: Callable[[str], None]) -> None:
    pushing, bare = Pushing(), Bare(folder)
    say(f"SQLite {sqlite3.sqlite_version}; operations a second, the quickest of rounds taken in turn")
    for size, rounds in ROUNDS.items():
        took: dict[tuple[str, str], list[float]] = {}
        for _ in range(rounds):
            for pragma in PRAGMAS:
                took.setdefault(("push", pragma), []).append(pushing.seconds(pragma, size))
                took.setdefault(("bare", pragma), []).append(bare.seconds(pragma, size))
        best = {key: min(times) for key, times in took.items()}
        for pragma in PRAGMAS:
            pushed, floor = best["push", pragma], best["bare", pragma]
            say(
                f"batch of {size:3} {pragma:6} push {size / pushed:7.0f}/s, floor {size / floor:7.0f}/s, "
                f"push takes {pushed / floor:5.1f} times the floor"
            )
        full, normal = (best["push", pragma] for pragma in PRAGMAS)
        say(f"batch of {size:3} FULL takes {full / normal:.2f} times as long as NORMAL")
    bare.file.close()
