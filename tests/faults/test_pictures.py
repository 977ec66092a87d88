"""R-13 and R-25: the server dies over a picture."""

import contextlib
import threading
import time
from random import Random

import pytest

from tests.faults.dumps import strays
from tests.faults.ground import Ground
from tests.faults.growers import noise
from tests.faults.nemesis import killed_after
from tests.faults.recorded import NoAnswer, Recorded
from tests.faults.tables import ask, order, writers_held
from tests.faults.trial import Trial

BLOCK = "0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1b"
SIDE = 3000  # 9 megapixels: a good part of a second of decoding


def has_a_record_with_a_picture(hand: Recorded, side: int, chance: Random) -> str:
    name = hand.photographs(chance.randrange(255), BLOCK, noise(chance, side))
    hand.sync()
    return name


@pytest.mark.row("R-13")
def test_a_server_killed_over_a_picture_keeps_the_record_and_takes_the_picture_next_time(
    ground: Ground, trial: Trial
) -> None:
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    has_a_record_with_a_picture(ada, SIDE, trial.chance)
    began = time.monotonic()
    ada.sends_pictures()
    seconds, died = time.monotonic() - began, 0
    for _ in range(trial.times):
        has_a_record_with_a_picture(ada, SIDE, trial.chance)
        with contextlib.suppress(NoAnswer), killed_after(ground, trial.chance.uniform(0.1, 0.9) * seconds):
            ada.sends_pictures()
        died += bool(ada.pictures)
        trial.history.note("server", "killed")
        ground.start(trial.history)
        ada.gets_through()
    ground.ends(trial.history, ada)
    halves = sum(".coming-" in stray for stray in strays(ground.site))
    trial.says(f"{died} died before the answer, {halves} half-written files left behind")
    trial.judge("I3", "I15")


@pytest.mark.row("R-25")
def test_a_server_killed_between_file_and_row_loses_nothing(ground: Ground, trial: Trial) -> None:
    """In lock-step: the row's table is held, so that the file is there and its row is not when the kill comes."""
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    for _ in range(trial.times):
        name = has_a_record_with_a_picture(ada, 64, trial.chance)
        before = set(strays(ground.site))
        with writers_held(ground.site, "photos_photofile"):
            sending = threading.Thread(target=_sends, args=(ada,))
            sending.start()
            assert _appears(ground, name), "the file never came"
            ground.kill(trial.history)
            sending.join()
        assert {stray for stray in strays(ground.site) if name in stray} - before
        ground.start(trial.history)
        ada.gets_through()
        assert not [stray for stray in strays(ground.site) if name in stray]
    ground.ends(trial.history, ada)
    trial.judge("I3", "I15")


def _sends(hand: Recorded) -> None:
    with pytest.raises(NoAnswer):
        hand.sends_pictures()


def _appears(ground: Ground, name: str) -> bool:
    deadline = time.monotonic() + 15
    while time.monotonic() < deadline:
        if any(name in path.name for path in (ground.site.folder / "photos").rglob("*.jpg")):
            return True
        time.sleep(0.02)
    return False


@pytest.mark.planted("R-25")
def test_a_row_whose_file_has_gone_or_changed_is_noticed(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    names = [has_a_record_with_a_picture(ada, 64, trial.chance) for _ in range(2)]
    ada.sends_pictures()
    for name, spoil in zip(
        names, (lambda path: path.unlink(), lambda path: path.write_bytes(b"")), strict=True
    ):
        ((where,),) = ask(ground.site, "SELECT name FROM photos_photofile WHERE sha256 = ?", name)
        spoil(ground.site.folder / "photos" / where)
    ground.ends(trial.history, ada)
    trial.notices("one picture file removed, one emptied", "I15")
    order(ground.site, "DELETE FROM photos_photofile WHERE sha256 = ?", names[0])
