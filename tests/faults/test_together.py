"""R-26 and R-27: transactions that commit late, and many writers."""

import threading
import time
from collections import Counter
from uuid import UUID

import pytest

from tests.copies.sites import Line
from tests.faults.ground import Ground
from tests.faults.growers import does_something
from tests.faults.recorded import Recorded, TurnedAway
from tests.faults.tables import DATABASE, ask, connected, order, run, writers_held
from tests.faults.trial import Trial

WRITERS = 8


def is_waiting(ground: Ground) -> bool:
    """Whether some transaction now waits for the one that holds it up; on SQLite, where nobody tells, after a moment."""
    if DATABASE == "SQLite":
        time.sleep(0.05)
        return True
    deadline = time.monotonic() + 3
    while time.monotonic() < deadline:
        if ask(ground.site, "SELECT count(*) FROM pg_locks WHERE NOT granted") != [(0,)]:
            return True
        time.sleep(0.005)
    return False


def commits_late(
    ground: Ground, trial: Trial, hands: list[Recorded], reader: Recorded, both: bool
) -> tuple[bool, int]:
    """One push or both are held; another phone reads. Whether one was seen waiting, and how often was read then."""
    chance, read = trial.chance, 0
    pushes = [threading.Thread(target=hand.push) for hand in hands]
    # The receipts are written last, when rows and changes are there already.
    with writers_held(ground.site, chance.choice(["sync_receipt", "sync_change"])):
        pushes[0].start()
        held = is_waiting(ground)
        if both:
            pushes[1].start()
        for _ in range(chance.randint(1, 3)):
            reader.pull(limit=chance.randint(1, 5), pages=2)
            read += 1
    if not both:
        pushes[1].start()
    reader.pull(limit=3, pages=1)
    for push in pushes:
        push.join()
    return held, read


@pytest.mark.row("R-26")
def test_a_transaction_that_commits_late_hides_nothing(ground: Ground, trial: Trial) -> None:
    """In lock-step: one push is held in the middle of its transaction, its number taken; others write and read on."""
    farm = ground.new_farm(trial.chance)
    hands = [ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo")]
    reader = ground.phone("Cy", farm, trial.history, trial.chance)
    seen = []
    for number in range(trial.times):
        for hand in hands:
            does_something(hand, trial.chance)
        trial.chance.shuffle(hands)
        seen.append(commits_late(ground, trial, hands, reader, both=number % 2 == 1))
        if trial.chance.random() < 0.3:
            for hand in (*hands, reader):
                hand.gets_through()
    for hand in (*hands, reader, *hands):
        hand.gets_through()
    ground.ends(trial.history, *hands, reader)
    held, read = sum(held for held, _ in seen), sum(read for _, read in seen)
    trial.says(f"{held} held in their transaction, {read} readings meanwhile")
    trial.judge("I4", "I5", "I6", "I7")


@pytest.mark.planted("R-26")
def test_a_row_that_becomes_visible_late_under_an_earlier_number_is_noticed(
    ground: Ground, trial: Trial
) -> None:
    """As a database sequence would do it: the number is drawn, the row hidden for a while, and shown when a phone has read
    beyond it. Here a row is set back in the database before the reading and put right after it."""
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    late = ada.adds("place", name="Cellar", note="")
    ada.adds("place", name="Tent", note="")
    ada.push()
    renumber = "UPDATE blocks_place SET seq = ? WHERE uuid = ?"
    order(ground.site, renumber, -1, UUID(late))
    bo.pull()
    order(ground.site, renumber, 1, UUID(late))
    ada.gets_through()
    bo.pull()
    ground.ends(trial.history, ada, bo)
    trial.notices("a row committed late under an earlier number", "I4", "I5", "I7")


@pytest.mark.row("R-27")
def test_eight_writers_on_two_servers_are_never_told_that_it_is_locked(ground: Ground, trial: Trial) -> None:
    """Each push is a transaction of its own; a second server process works on the same database."""
    farm = ground.new_farm(trial.chance)
    hands = [ground.phone(f"Ada {n}", farm, trial.history, trial.chance, "Ada") for n in range(WRITERS)]
    second = ground.site.up()
    answers: Counter[int] = Counter()
    try:
        for hand in hands[::2]:
            hand.at(second.url)
        writers = [
            threading.Thread(target=_writes, args=(hand, max(1, trial.times // WRITERS), answers))
            for hand in hands
        ]
        for writer in writers:
            writer.start()
        for writer in writers:
            writer.join()
    finally:
        second.stop()
    assert set(answers) == {200}, answers
    for hand in hands:
        hand.at(ground.proxy.url)
        hand.gets_through()
    for hand in hands:
        hand.pull()
    ground.ends(trial.history, *hands)
    trial.says(f"{answers[200]} writes, none told to wait")
    trial.judge("I2", "I3", "I4", "I7", "I13")


def _writes(hand: Recorded, times: int, answers: Counter[int]) -> None:
    for number in range(times):
        hand.adds("pick", block=hand.device, flush=1, at="2026-05-03T07:40:00Z", wet_g=float(1 + number))
        try:
            hand.push()
        except TurnedAway as refusal:
            answers[refusal.status] += 1
        else:
            answers[200] += 1


@pytest.mark.slow
@pytest.mark.planted("R-27")
def test_a_writer_that_holds_the_database_too_long_is_told_as_busy(ground: Ground, trial: Trial) -> None:
    """Shows that the answers above would have told of it: somebody holds the farm for longer than a phone waits."""
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    ada.adds("place", name="Tent", note="")
    line, began = Line(ground.proxy.url, ada.line.jar), time.monotonic()
    with connected(ground.site) as base:
        run(base, "BEGIN")
        run(base, "UPDATE accounts_farm SET seq = seq WHERE id = ?", UUID(farm))
        body = {"epoch": ada.epoch, "device": ada.device, "app_version": "test", "ops": ada.outbox}
        try:
            status = line.ask("POST", "/api/sync/push", body)[0]
        except OSError:
            status = 0  # it waits on; so does the phone, for as long as it likes
        run(base, "ROLLBACK")
    assert status != 200
    trial.says(
        f"a lock held by somebody else (answer {status or 'none'} after {time.monotonic() - began:.0f} s)"
    )
