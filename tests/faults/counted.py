"""What a run of the fault table came to, in one line a database: counted from the histories that were judged."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from tests.faults.history import History

# What a broken promise means to a grower. Of the others the line says how many sentences the judge had.
MEANS = {"I1": "lost", "I3": "lost", "I13": "lost", "I2": "duplicated", "I9": "duplicated", "I10": "leaked"}
ALWAYS = ("lost", "duplicated", "leaked")
OTHERWISE = "otherwise wrong"


@dataclass
class Counts:
    """Of the histories that one trial was judged by; what was planted in them on purpose is not among it."""

    histories: set[int] = field(default_factory=set)  # by their numbers: one may be judged several times
    ops: set[tuple[str, str]] = field(default_factory=set)
    broken: Counter[str] = field(default_factory=Counter)

    def take(self, history: History, broken: Mapping[str, Sequence[str]]) -> None:
        """Operations are those that somebody made; one that is sent again, or judged again in a copy, is still one."""
        self.histories.add(history.number)
        self.ops |= {
            (event["who"], event["op"]["id"])
            for event in history.events
            if event["what"] in {"made", "tried"}
        }
        for promise, said in broken.items():
            self.broken[MEANS.get(promise, OTHERWISE)] += len(said)


class Tried(Protocol):
    row: str
    database: str
    planted: bool
    held: bool
    counts: Counts


def totals(ran: Iterable[Tried]) -> list[str]:
    tried = list(ran)
    return [
        _line(base, [each for each in tried if each.database == base])
        for base in sorted({each.database for each in tried})
    ]


def _line(database: str, tried: list[Tried]) -> str:
    rows = {each.row for each in tried if not each.planted}
    broken_rows = {each.row for each in tried if not each.planted and not each.held}
    planted = [each.held for each in tried if each.planted]
    operations = sum(len(each.counts.ops) for each in tried)
    histories = sum(len(each.counts.histories) for each in tried)
    found = sum((each.counts.broken for each in tried), Counter[str]())
    named = [*ALWAYS, *([OTHERWISE] if found[OTHERWISE] else [])]
    return (
        f"{database}: {len(rows - broken_rows)} of {len(rows)} rows held, "
        f"{sum(planted)} of {len(planted)} planted faults noticed; {operations:,} operations in "
        f"{histories} histories judged: {', '.join(f'{found[name]} {name}' for name in named)}"
    )
