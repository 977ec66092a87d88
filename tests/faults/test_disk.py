"""R-11: the disk under the server's data is full. A small tmpfs where this account may mount one."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults.disks import fill, small_disk
from tests.faults.dumps import strays
from tests.faults.ground import Ground, prepared
from tests.faults.growers import does_something, noise
from tests.faults.recorded import Recorded, TurnedAway
from tests.faults.tables import DATABASE
from tests.faults.trial import Trial

MEGABYTES = 24
BLOCK = "0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1b"


@pytest.fixture
def on_a_small_disk(tmp_path: Path) -> Iterator[Ground]:
    with small_disk(tmp_path / "disk", MEGABYTES) as disk, prepared(disk / "farm") as ground:
        yield ground


def refused_as_full(hand: Recorded) -> bool:
    """What does not fit is refused with 507 and its code; what still fits is taken."""
    try:
        hand.sync()
        hand.sends_pictures()
    except TurnedAway as refusal:
        if (refusal.status, refusal.code) != (507, "full"):
            raise
        return True
    return False


@pytest.mark.row("R-11")
def test_a_full_disk_is_said_nothing_is_half_kept_and_reading_goes_on(
    trial: Trial, on_a_small_disk: Ground
) -> None:
    ground, disk = on_a_small_disk, on_a_small_disk.site.folder.parent
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    bo = ground.phone("Bo", farm, trial.history, trial.chance)
    full = 0
    for _ in range(trial.times):
        # On PostgreSQL the rows lie elsewhere: there it is the pictures that do not fit.
        left = trial.chance.choice([0, 4096, 16384]) if DATABASE == "SQLite" else 4096
        ballast = fill(disk, left)
        for _ in range(40):
            does_something(ada, trial.chance)
        ada.photographs(1, BLOCK, noise(trial.chance, 900))
        full += refused_as_full(ada)
        bo.pull()
        assert not [stray for stray in strays(ground.site) if ".coming-" in stray]
        copied = ground.site.run("backup")
        assert (copied.returncode, "Traceback" in copied.stderr) == (2, False), copied.stderr
        assert list(ground.site.folder.glob("copies/*/")) == []
        ballast.unlink()
        ada.gets_through()
        bo.gets_through()
    ada.gets_through()
    ground.ends(trial.history, ada, bo)
    assert full == trial.times
    trial.says("507 each time, reading went on, no half picture, no half copy")
    trial.judge("I2", "I3", "I4", "I7", "I8", "I13", "I15")


@pytest.mark.planted("R-11")
def test_a_half_written_picture_is_noticed(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    ada.photographs(1, BLOCK, noise(trial.chance))
    ada.gets_through()
    ground.ends(trial.history, ada)
    (dump,) = [event for event in trial.history.events if event["who"] == "server"]
    path = next((ground.site.folder / "photos" / farm).rglob("*.jpg"))
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    ground.ends(trial.history, ada)
    assert dump["photos"]
    trial.notices("a picture file cut in half", "I15")
