"""R-01: kill -9 of the server at any instant of a push."""

import time
from collections import Counter
from contextlib import suppress
from uuid import UUID

import pytest

from tests.faults.ground import Ground
from tests.faults.growers import does_something
from tests.faults.nemesis import killed_after
from tests.faults.proxy import Fate
from tests.faults.recorded import NoAnswer, Recorded
from tests.faults.tables import ask, order
from tests.faults.trial import Trial

BATCH = 20


def seconds_of_a_push(hand: Recorded, trial: Trial) -> float:
    for _ in range(BATCH):
        does_something(hand, trial.chance)
    began = time.monotonic()
    hand.push()
    return time.monotonic() - began


def is_killed_while_it_sends(ground: Ground, hand: Recorded, trial: Trial, seconds: float) -> str:
    """When the kill came, by what is found afterwards."""
    before = set(hand.acked)
    with suppress(NoAnswer), killed_after(ground, seconds):
        hand.push()
    return _found(ground, hand, trial, before)


def is_killed_before_it_answers(ground: Ground, hand: Recorded, trial: Trial) -> str:
    """The instant that chance seldom finds: all is committed, and nobody has been told."""
    before = set(hand.acked)
    with suppress(NoAnswer), ground.line(lambda asked: Fate(answer_lost=True)):
        hand.push()
    ground.kill()
    return _found(ground, hand, trial, before)


def _found(ground: Ground, hand: Recorded, trial: Trial, before: set[str]) -> str:
    trial.history.note("server", "killed")
    ground.start(trial.history)
    if set(hand.acked) - before:
        return "after the answer"
    first = next(op["id"] for op in hand.outbox if op["id"] not in before)
    there = ask(ground.site, "SELECT count(*) FROM sync_receipt WHERE op = ?", UUID(first))
    return "between commit and answer" if there != [(0,)] else "before the commit"


@pytest.mark.row("R-01")
def test_a_server_killed_in_a_push_has_done_all_of_it_or_nothing(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    seconds = 1.3 * seconds_of_a_push(ada, trial)
    instants: Counter[str] = Counter()
    for number in range(trial.times):
        hand = (ada, bo)[number % 2]
        for _ in range(BATCH):
            does_something(hand, trial.chance)
        if number % 4 == 1:
            instants[is_killed_before_it_answers(ground, hand, trial)] += 1
        else:
            instants[is_killed_while_it_sends(ground, hand, trial, trial.chance.random() * seconds)] += 1
        hand.gets_through()
    for hand in (ada, bo, ada, bo):
        hand.gets_through()
    ground.ends(trial.history, ada, bo)
    trial.says(", ".join(f"{count} {when}" for when, count in sorted(instants.items())))
    trial.judge("I2", "I3", "I4", "I5", "I6", "I7", "I8", "I9", "I12", "I13")


@pytest.mark.planted("R-01")
def test_an_acknowledged_change_that_is_gone_after_a_kill_is_noticed(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    for _ in range(3):
        does_something(ada, trial.chance)
    ada.push()
    order(ground.site, "DELETE FROM sync_change WHERE op = ?", UUID(ada.made[-1]))
    ada.pull()
    ground.ends(trial.history, ada)
    trial.notices("a change taken out of the database after it was acknowledged", "I3", "I4")
