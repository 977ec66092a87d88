"""The last line of the table is counted, not claimed."""

from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests.faults.counted import Counts, totals
from tests.faults.history import History
from tests.faults.trial import Trial


@dataclass
class Ran:
    row: str = "R-01"
    database: str = "SQLite"
    planted: bool = False
    held: bool = True
    counts: Counts = field(default_factory=Counts)


def history_of(*ops: str) -> History:
    history = History()
    for op in ops:
        history.note("Ada", "made", op={"id": op}, shown=True, pictures=[])
    return history


def test_an_operation_counts_once_however_often_its_history_is_judged() -> None:
    counts, history = Counts(), history_of("a", "b", "b")
    counts.take(history, {})
    counts.take(history, {})
    counts.take(history_of("a", "c"), {})  # a copy of it, and one more
    assert totals([Ran(counts=counts)]) == [
        "SQLite: 1 of 1 rows held, 0 of 0 planted faults noticed; "
        "3 operations in 2 histories judged: 0 lost, 0 duplicated, 0 leaked"
    ]


@pytest.mark.parametrize(
    ("promise", "word"),
    [("I1", "lost"), ("I3", "lost"), ("I13", "lost"), ("I2", "duplicated"), ("I9", "duplicated"), ("I10", "leaked")],
)  # fmt: skip
def test_what_the_judge_finds_is_counted_under_what_it_means(promise: str, word: str) -> None:
    counts = Counts()
    counts.take(history_of("a"), {promise: ["one", "two"]})
    assert f"2 {word}" in totals([Ran(counts=counts, held=False)])[0]


def test_a_broken_promise_of_another_sort_is_counted_too() -> None:
    counts = Counts()
    counts.take(history_of("a"), {"I7": ["they differ"]})
    assert totals([Ran(counts=counts, held=False)])[0].endswith("0 leaked, 1 otherwise wrong")


def test_a_row_holds_only_when_all_its_tests_do_and_each_database_has_its_line() -> None:
    ran = [Ran(), Ran(held=False), Ran("R-02"), Ran(planted=True), Ran(planted=True, held=False)]
    first, second = totals([*ran, Ran(database="PostgreSQL")])
    assert first.startswith("PostgreSQL: 1 of 1 rows held, 0 of 0 planted")
    assert second.startswith("SQLite: 1 of 2 rows held, 1 of 2 planted faults noticed")


def test_a_lost_operation_reaches_the_line(tmp_path: Path) -> None:
    trial = Trial("R-01", "here", tmp_path)
    trial.history.note("Ada", "phone", farm="a farm", device="a phone")
    trial.history.note("Ada", "made", op={"id": "a"}, shown=True, pictures=[])
    trial.history.note("Ada", "restarted", ops=[], pictures=[])
    with pytest.raises(AssertionError, match="I1: Ada showed a as saved"):
        trial.judge_only("I1")
    assert "1 operations in 1 histories judged: 1 lost" in totals([trial])[0]
