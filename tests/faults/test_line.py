"""R-03, R-04, R-29: a line that cuts, repeats, delays, loses and lies."""

import json
import threading
import time

import pytest

from tests.faults.ground import Ground
from tests.faults.growers import does_something
from tests.faults.nemesis import ANSWER_OF_A_HOTEL, harsh, only
from tests.faults.proxy import SAFE, Asked, Fate
from tests.faults.recorded import NoAnswer, Recorded
from tests.faults.rows import RELEASE
from tests.faults.tables import ask
from tests.faults.trial import Trial

FREE_WITHIN_S = 5
SILENT_S = 7 if RELEASE else 1.5  # at a release longer than the server's patience
PUSH = "/api/sync/push"


def counted(ground: Ground) -> list[tuple[object, ...]]:
    return ask(ground.site, "SELECT (SELECT count(*) FROM sync_receipt), (SELECT count(*) FROM sync_change)")


def is_free(ground: Ground, hand: Recorded) -> float:
    """How long somebody else waits for an answer, by the line's own clock."""
    began = time.monotonic()
    assert hand.line.ask("GET", "/api/session")[0] == 200
    return time.monotonic() - began


def is_cut_off(ground: Ground, hand: Recorded, trial: Trial, *, silent: bool) -> threading.Thread:
    """Sends on a line that breaks at some byte; a silent one breaks much later, and nobody waits for it here."""
    begun = threading.Event()

    def plan(asked: Asked) -> Fate:
        if not asked.path.startswith(PUSH):
            return SAFE
        begun.set()
        return Fate(cut_at=trial.chance.randrange(1, len(asked.raw)), stall_s=SILENT_S if silent else 0)

    sending = threading.Thread(target=_cut_off, args=(hand,))
    with ground.line(plan):
        sending.start()
        assert begun.wait(20)
        if not silent:
            sending.join()
    return sending


def _cut_off(hand: Recorded) -> None:
    with pytest.raises(NoAnswer):
        hand.push()


@pytest.mark.row("R-03")
def test_a_request_cut_anywhere_stores_nothing_and_holds_nobody_up(ground: Ground, trial: Trial) -> None:
    """Every third line goes silent instead of breaking: more of them at once than the server has threads."""
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    for _ in range(10):
        does_something(ada, trial.chance)
    before, waits = counted(ground), list[float]()
    lines = []
    for number in range(trial.times):
        lines.append(is_cut_off(ground, ada, trial, silent=number % 3 == 0))
        waits.append(is_free(ground, bo))
    for line in lines:
        line.join()
    assert counted(ground) == before
    assert max(waits) < FREE_WITHIN_S
    ada.gets_through()
    bo.gets_through()
    ground.ends(trial.history, ada, bo)
    trial.says(f"{-(-trial.times // 3)} of them silent")
    trial.judge("I2", "I3", "I4", "I7")


@pytest.mark.row("R-04")
def test_a_batch_that_arrives_several_times_has_one_effect(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    broke: list[bytes] = []

    def heard(answer: bytes) -> bytes:
        if not answer.startswith(b"HTTP/1.1 200"):
            broke.append(answer[:200])
        return answer

    def plan(asked: Asked) -> Fate:
        if not asked.path.startswith(PUSH):
            return SAFE
        copies, at_once = trial.chance.randint(2, 5), trial.chance.random() < 0.5
        return Fate(copies=copies, at_once=at_once, rewrite=heard)

    with ground.line(plan):
        for number in range(trial.times):
            hand = (ada, bo)[number % 2]
            does_something(hand, trial.chance)
            hand.gets_through()
    assert broke == []
    for hand in (ada, bo, ada):
        hand.gets_through()
    ground.ends(trial.history, ada, bo)
    trial.judge("I2", "I3", "I4", "I7", "I13")


@pytest.mark.planted("R-04")
def test_a_line_that_makes_up_acknowledgements_is_noticed(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    ada.adds("place", name="Tent", note="")
    ada.gets_through()
    op = ada.adds("place", name="Cellar", note="") and ada.made[-1]
    said = {"id": op, "status": "applied", "seq": 2, "code": None, "lost_fields": []}
    with ground.line(only("POST", PUSH, Fate(forged=_as_json({
        "epoch": ada.epoch, "server_time": "2026-05-01T00:00:00Z", "results": [said],
        "reset": False, "head": 1, "chain": ada.seen["chain"],
    })))):  # fmt: skip
        ada.push()
    ada.outbox.clear()  # it believes that all is sent
    ada.pull()
    ground.ends(trial.history, ada)
    trial.notices("an acknowledgement made up by the line", "I2", "I3", "I8")


def _as_json(body: object) -> bytes:
    text = json.dumps(body).encode()
    head = f"HTTP/1.1 200 OK\r\nContent-Type: application/json\r\nContent-Length: {len(text)}\r\n"
    return head.encode() + b"Connection: close\r\n\r\n" + text


@pytest.mark.planted("R-04")
def test_a_line_that_leaves_rows_out_of_a_page_is_noticed(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    for name in ("Tent", "Cellar", "Loft"):
        ada.adds("place", name=name, note="")
    ada.gets_through()
    with ground.line(only("GET", "/api/sync/pull", Fate(rewrite=_without_a_row))):
        bo.pull()
    ground.ends(trial.history, ada, bo)
    trial.notices("a page with a row left out", "I4", "I5", "I7")


def _without_a_row(answer: bytes) -> bytes:
    page = json.loads(answer.partition(b"\r\n\r\n")[2])
    page["rows"].pop(0)
    return _as_json(page)


@pytest.mark.row("R-29")
def test_a_weak_line_gets_everything_through_in_few_requests(ground: Ground, trial: Trial) -> None:
    """100 changes each way: 150 ms each way, 50 kB a second, 3 of 100 requests lost, and a hotel that answers for the server."""
    taken = list[int]()
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))

    def plan(asked: Asked) -> Fate:
        if trial.chance.random() < 0.03:
            return Fate(answer_lost=True, delay_s=0.15)
        if trial.chance.random() < 0.03:
            return Fate(forged=ANSWER_OF_A_HOTEL)
        return Fate(delay_s=0.075, bytes_a_second=50_000)

    for _ in range(trial.times):
        for _ in range(100):
            does_something(ada, trial.chance)
        with ground.line(plan):
            before = len(ground.proxy.seen)
            passes = ada.gets_through() + bo.gets_through()
            taken.append(len(ground.proxy.seen) - before)
            # Two batches to send and two to be sure that nothing is left, three pages to read; a lost one once more.
            assert taken[-1] <= 8 * passes
    ada.gets_through()
    ground.ends(trial.history, ada, bo)
    trial.says(f"at most {max(taken)} requests for 100 and more changes there and back")
    trial.judge("I2", "I3", "I5", "I6", "I7", "I8")


@pytest.mark.row("R-02")
def test_three_phones_on_a_line_with_every_fault_at_once_converge(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    hands = [ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo", "Cy")]
    with ground.line(harsh(trial.chance)):
        for _ in range(6 * trial.times):
            hand = trial.chance.choice(hands)
            for _ in range(trial.chance.randint(1, 6)):
                does_something(hand, trial.chance)
            hand.gets_through()
    for hand in (*hands, *hands):
        hand.gets_through()
    ground.ends(trial.history, *hands)
    trial.judge("I2", "I3", "I4", "I5", "I6", "I7", "I8", "I9", "I12", "I13")
