"""R-22: an older copy of the database is put back, by the command that is there for it and by a bare swap."""

from pathlib import Path
from uuid import UUID

import pytest

from tests.copies.sites import Line, raw_copy, raw_swap
from tests.faults.dumps import rows_read
from tests.faults.ground import Ground
from tests.faults.growers import does_something
from tests.faults.recorded import Recorded
from tests.faults.tables import ask, id_of, order
from tests.faults.trial import Trial


def farm_says(ground: Ground, farm: str) -> tuple[int, str]:
    ((head, epoch),) = ask(ground.site, "SELECT seq, epoch FROM accounts_farm WHERE id = ?", UUID(farm))
    return int(head), id_of(epoch)


def goes_on(hands: list[Recorded], trial: Trial, acts: int) -> None:
    for _ in range(acts):
        does_something(trial.chance.choice(hands), trial.chance)
    for hand in trial.chance.sample(hands, len(hands)):
        hand.gets_through()


def is_told(ground: Ground, trial: Trial, farm: str, reader: Recorded, epoch: str, head: int) -> None:
    """What the copy holds, read before any phone of the farm has been there."""
    rows = rows_read(Line(ground.served.url, reader.line.jar))
    trial.history.note("server", "restored", farm=farm, rows=rows, head=head, epoch=epoch)


def by_command(ground: Ground, trial: Trial, farm: str, hands: list[Recorded]) -> None:
    made = ground.site.run("backup")
    assert made.returncode == 0, made.stderr
    newest = ground.site.copies()[-1]
    goes_on(hands, trial, 12)
    _, before = farm_says(ground, farm)
    ground.served.stop()
    done = ground.site.run("restore", str(newest), "--yes")
    assert done.returncode == 0, done.stderr
    head, _ = farm_says(ground, farm)
    ground.start()
    hands[0].enters(farm)
    is_told(ground, trial, farm, hands[0], before, head)
    for hand in hands[1:]:
        hand.enters(farm)


def by_swap(ground: Ground, trial: Trial, farm: str, hands: list[Recorded], to: Path) -> None:
    ground.served.stop()
    raw_copy(ground.site, to)
    ground.start()
    goes_on(hands, trial, 12)
    ground.served.stop()
    raw_swap(ground.site, to)
    head, epoch = farm_says(ground, farm)
    ground.start()
    is_told(ground, trial, farm, hands[0], epoch, head)


@pytest.mark.row("R-22")
def test_an_older_copy_is_healed_by_the_phones(trial: Trial, own_ground: Ground, tmp_path: Path) -> None:
    ground, commands = own_ground, 0
    first = trial.chance.randrange(2)
    for number in range(trial.times):
        trial.history = trial.another()
        farm = ground.new_farm(trial.chance)
        hands = [ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo")]
        goes_on(hands, trial, 12)
        if (number + first) % 2:
            by_command(ground, trial, farm, hands)
            commands += 1
        else:
            by_swap(ground, trial, farm, hands, tmp_path / f"copy-{number}")
        for _ in range(2):
            goes_on(hands, trial, 4)
        for hand in (*hands, *hands):
            hand.gets_through()
        ground.ends(trial.history, *hands)
        trial.judge("I3", "I4", "I7", "I9", "I14")
    trial.says(f"{commands} by command, {trial.times - commands} by a bare swap")


@pytest.mark.slow
@pytest.mark.planted("R-22")
def test_a_swap_that_nobody_is_told_of_is_noticed(trial: Trial, own_ground: Ground, tmp_path: Path) -> None:
    """Phones of a kind that keep nothing they have sent: what came after the copy is gone then."""
    ground = own_ground
    farm = ground.new_farm(trial.chance)
    hands = [ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo")]
    goes_on(hands, trial, 6)
    ground.served.stop()
    raw_copy(ground.site, tmp_path / "copy")
    ground.start()
    for hand in hands:
        hand.adds("place", name="Yard", note="")
        hand.gets_through()
    ground.served.stop()
    raw_swap(ground.site, tmp_path / "copy")
    head, epoch = farm_says(ground, farm)
    ground.start()
    is_told(ground, trial, farm, hands[0], epoch, head)
    for hand in hands:
        hand.shelf.clear()
        hand.gets_through()
    ground.ends(trial.history, *hands)
    order(ground.site, "DELETE FROM sync_receipt WHERE farm_id = ?", UUID(farm))
    trial.notices("phones that keep nothing they have sent", "I3", "I14")
