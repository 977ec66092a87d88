"""One row of the fault table being tried: its chances, its history, what was judged and how to try it again."""

from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from tests.faults import checker
from tests.faults.counted import Counts
from tests.faults.history import History
from tests.faults.rows import RELEASE, ROWS, SEED
from tests.faults.tables import DATABASE
from tests.faults.told import taken_apart

EVERY = tuple(checker.PROMISES)


@dataclass
class Trial:
    row: str
    test: str
    folder: Path
    planted: bool = False  # somebody broke a promise on purpose: held means noticed
    history: History = field(init=False)
    chance: Random = field(init=False)
    remarks: list[str] = field(default_factory=list)
    judged: list[str] = field(default_factory=list)
    counts: Counts = field(default_factory=Counts)
    held: bool = False
    database: str = DATABASE

    def __post_init__(self) -> None:
        self.times = ROWS[self.row].times
        self.chance = Random(f"{SEED} {self.test}")
        self.history = self.another()

    def another(self) -> History:
        return History(self.row, SEED, self.database)

    def judge(self, *promises: str, history: History | None = None) -> None:
        """No promise may be broken; `promises` are those that this row is there to try."""
        history = history or self.history
        self._found(history, checker.broken(history.events), promises)

    def judge_only(self, *promises: str, history: History | None = None) -> None:
        """These promises of a history that has no end yet, or tells nothing of the others."""
        history = history or self.history
        told = taken_apart(history.events)
        said = {name: checker.PROMISES[name](told) for name in promises}
        self._found(history, {name: each for name, each in said.items() if each}, promises)

    def _found(self, history: History, broken: dict[str, list[str]], promises: tuple[str, ...]) -> None:
        self.counts.take(history, broken)
        if broken:
            path = self.folder / f"{self.row}.jsonl"
            history.write(path)
            words = [f"{name}: {sentence}" for name, said in broken.items() for sentence in said[:5]]
            raise AssertionError("\n".join([*words, f"the history is {path}"]))
        self.judged = sorted({*self.judged, *promises}, key=EVERY.index)

    def notices(self, planted: str, *promises: str, history: History | None = None) -> None:
        """The judge has to find what was planted, in these promises."""
        self.says(f"{planted} ({' '.join(promises)})")
        broken = checker.broken((history or self.history).events)
        assert set(promises) <= broken.keys(), broken

    def says(self, remark: str) -> None:
        self.remarks.append(remark)

    def counts_remarks(self) -> None:
        """The same said many times is said once, with how often."""
        self.remarks = [f"{self.remarks.count(said)} x {said}" for said in sorted(set(self.remarks))]

    @property
    def again(self) -> str:
        release = "FAULTS=release " if RELEASE else ""
        on = "python -m tests.setup.postgres -- " if self.database == "PostgreSQL" else ""
        return f"again: {release}FAULTS_SEED={SEED} {on}pytest '{self.test}'"

    def line(self) -> str:
        if self.planted:
            end = "noticed" if self.held else "NOT NOTICED"
            return (
                f"{self.row:5} {self.database:10}    planted  seed {SEED}  {'; '.join(self.remarks)}: {end}"
            )
        end = "held" if self.held else "BROKEN"
        promises = " ".join(self.judged) or "by its own words"
        remarks = f" ({'; '.join(self.remarks)})" if self.remarks else ""
        return (
            f"{self.row:5} {self.database:10} {self.times:5} times  seed {SEED}  {promises}: {end}{remarks}"
        )


RAN: list[Trial] = []
