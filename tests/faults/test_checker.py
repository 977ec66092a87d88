"""The judge is judged: it accepts right histories, rejects a wrong one of every kind, and knows nothing of the program."""

import ast
import copy
from pathlib import Path
from random import Random

import pytest

from tests.faults import checker, history
from tests.faults.rows import SEED
from tests.faults.wrong.seeds import RESTORED, RIGHT, WRONG, Wrong

HERE = Path(__file__).parent
JUDGE = ("checker", "authors", "pages", "completeness", "survival", "expected", "told")
CASES = [(name, right, wrong) for name, all_ in WRONG.items() for right, wrong in all_]
TIMES = 5  # each wrong history is made so often, at another place


def recorded(name: str) -> list[history.Event]:
    return history.read(HERE / "wrong" / f"{name}.jsonl")


@pytest.mark.parametrize("name", [RIGHT, RESTORED])
def test_a_right_history_is_accepted(name: str) -> None:
    assert checker.broken(recorded(name)) == {}


@pytest.mark.parametrize(
    ("promise", "right", "wrong"), CASES, ids=[f"{promise}-{wrong.__name__}" for promise, _, wrong in CASES]
)
def test_a_wrong_history_is_rejected_for_the_promise_it_breaks(
    promise: str, right: str, wrong: Wrong
) -> None:
    for number in range(TIMES):
        events = copy.deepcopy(recorded(right))
        wrong(events, Random(f"{SEED} {number}"))
        assert promise in checker.broken(events), f"FAULTS_SEED={SEED}, number {number}"


def test_every_promise_has_two_wrong_histories_at_least() -> None:
    assert WRONG.keys() == checker.PROMISES.keys()
    assert min(len(wrong) for wrong in WRONG.values()) >= 2


def test_a_history_without_an_end_is_not_judged() -> None:
    events = [event for event in recorded(RIGHT) if event["what"] != "dump" or event["who"] != "server"]
    with pytest.raises(ValueError, match="without a dump"):
        checker.judged(events)


@pytest.mark.parametrize("name", JUDGE)
def test_the_judge_imports_only_python_and_itself(name: str) -> None:
    tree = ast.parse((HERE / f"{name}.py").read_text(encoding="utf-8"))
    asked = set[str]()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            asked |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            asked |= (
                {f"{node.module}.{alias.name}" for alias in node.names}
                if node.module == "tests.faults"
                else {str(node.module)}
            )
    ours = {f"tests.faults.{each}" for each in JUDGE}
    assert asked <= ours | {
        "ast",
        "bisect",
        "collections",
        "collections.abc",
        "dataclasses",
        "datetime",
        "typing",
    }
    assert "__import__" not in ast.dump(tree)
    assert "import_module" not in ast.dump(tree)
