"""R-23 and R-24: a copy is made while phones send, and put back; copies that are none are refused."""

import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import UUID

import pytest

from tests.copies.sites import URL, Line, Site, new_site, raw_copy
from tests.copies.test_bad_copies import BAD, DATABASE, state
from tests.faults.dumps import dump_of, photos
from tests.faults.ground import Ground
from tests.faults.growers import does_something, noise
from tests.faults.history import History
from tests.faults.recorded import Recorded
from tests.faults.tables import ask, id_of, order
from tests.faults.trial import Trial

BLOCK = "0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1b"


@contextmanager
def at_work(hands: list[Recorded], trial: Trial) -> Iterator[None]:
    """Each sends changes and pictures, one after the other, until the block ends; five of each at least."""
    done = threading.Event()

    def works(hand: Recorded) -> None:
        sent = 0
        while sent < 5 or not done.is_set():
            does_something(hand, hand.chance)
            hand.photographs(sent % 255, BLOCK, noise(hand.chance))
            hand.gets_through()
            sent += 1

    threads = [threading.Thread(target=works, args=(hand,)) for hand in hands]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        done.set()
        for thread in threads:
            thread.join()


def is_copied(site: Site) -> Path:
    """By the command, as a person would."""
    before = set(site.copies())
    done = site.run("backup")
    assert (done.returncode, done.stderr) == (0, ""), done.stderr
    assert "verified by reading it back" in done.stdout
    return (set(site.copies()) - before).pop()


def of_the_copy(ground: Ground, trial: Trial, farm: str, hands: list[Recorded]) -> History:
    """What lies in the copy, before any phone has been there: all that was made, and how the server stands."""
    history = trial.another()
    for event in trial.history.events:
        if event["what"] in {"phone", "made"} or event.get("of") == "push":
            history.note(
                event["who"], event["what"], **{k: v for k, v in event.items() if k not in {"who", "what"}}
            )
    line = Line(ground.served.url, hands[0].line.jar)
    history.note("server", "dump", **dump_of(ground.site, farm, line))
    return history


def stands_by_itself(trial: Trial, ground: Ground, farm: str, history: History) -> int:
    """A moment of the farm, whole: numbers dense, one receipt an operation, its pictures with their bytes. How many operations."""
    trial.judge_only("I2", "I4", "I9", "I12", "I13", history=history)
    files = photos(ground.site, UUID(farm))
    assert [file for file in files if file["file_sha256"] != file["kept_sha256"]] == []
    return int(history.events[-1]["head"])


def is_put_back(ground: Ground, trial: Trial, farm: str, hands: list[Recorded], copy: Path) -> History:
    """Returns what lay in the copy; the phones are signed in again."""
    ((epoch,),) = ask(ground.site, "SELECT epoch FROM accounts_farm WHERE id = ?", UUID(farm))
    ground.served.stop()
    done = ground.site.run("restore", str(copy), "--yes")
    assert done.returncode == 0, done.stderr
    ground.start(trial.history)
    hands[0].enters(farm)
    inside = of_the_copy(ground, trial, farm, hands)
    dump = inside.events[-1]
    trial.history.note(
        "server", "restored", farm=farm, rows=dump["rows"], head=dump["head"], epoch=id_of(epoch)
    )
    for hand in hands[1:]:
        hand.enters(farm)
    return inside


@pytest.mark.row("R-23")
def test_a_copy_made_while_phones_send_is_one_moment_and_heals(trial: Trial, own_ground: Ground) -> None:
    ground, heads = own_ground, list[str]()
    for _ in range(trial.times):
        trial.history = trial.another()
        farm = ground.new_farm(trial.chance)
        hands = [ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo")]
        with at_work(hands, trial):
            copy = is_copied(ground.site)
        inside = is_put_back(ground, trial, farm, hands, copy)
        head = stands_by_itself(trial, ground, farm, inside)
        for hand in (*hands, *hands):
            hand.gets_through()
        ground.ends(trial.history, *hands)
        trial.judge("I2", "I3", "I4", "I7", "I14", "I15")
        heads.append(f"{head} of {trial.history.events[-3]['head'] if head else 0}")
    trial.says(f"operations in the copy, and in the end: {', '.join(heads)}")


@pytest.mark.planted("R-23")
def test_a_copy_that_is_no_single_moment_is_noticed(ground: Ground, trial: Trial) -> None:
    """As of files copied one after the other: the history of the farm lacks a number that its rows already show."""
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    for _ in range(3):
        does_something(ada, trial.chance)
    ada.gets_through()
    order(ground.site, "DELETE FROM sync_change WHERE farm_id = ? AND seq = ?", UUID(farm), 2)
    inside = of_the_copy(ground, trial, farm, [ada])
    ada.ends()
    inside.note(
        "Ada", "dump", **{k: v for k, v in trial.history.events[-1].items() if k not in {"who", "what"}}
    )
    trial.notices("a copy whose tables are of two moments", "I4", history=inside)


def bare(site: Site, to: Path) -> Path:
    """Of a database that is being written to, by the tool that lies next to hand: cp, or pg_dump."""
    raw_copy(site, to)
    return to


def refused(site: Site, copy: Path, reason: str = "") -> bool:
    """By the command, with its reason in one line, and nothing has changed."""
    before = state(site.folder)
    done = site.run("restore", str(copy), "--yes")
    said = done.stderr
    return done.returncode == 2 and said.count("\n") == 1 and reason in said and state(site.folder) == before


HARMS = (
    "a database that was cut off",
    "a byte of a picture altered",
    "a picture that is missing",
    "migrations of a newer release",
)


def harmed(copy: Path, what: str, to: Path) -> tuple[Path, str]:
    """A copy of the copy that went bad, and a word of the reason it has to be refused for."""
    harm, reason = BAD[what]
    bad = Path(shutil.copytree(copy, to / copy.name))
    harm(bad)
    return bad, reason


@pytest.mark.row("R-24")
def test_what_is_no_whole_copy_is_refused_and_the_farm_goes_on(
    ground: Ground, trial: Trial, tmp_path: Path
) -> None:
    farm = ground.new_farm(trial.chance)
    hands = [ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo")]
    hands[0].photographs(7, BLOCK, noise(trial.chance))
    hands[0].gets_through()
    with at_work(hands, trial):
        copy = is_copied(ground.site)
        file = bare(ground.site, tmp_path / DATABASE)
    bad = [("a bare copy of the live database", file, "" if URL else "A bare copy of a database file")]
    bad += [(what, *harmed(copy, what, tmp_path / str(number))) for number, what in enumerate(HARMS)]
    ground.served.stop()
    tried = [bad[0], *trial.chance.sample(bad[1:], trial.times - 1)]
    assert [what for what, path, reason in tried if not refused(ground.site, path, reason)] == []
    ground.start(trial.history)
    for hand in (*hands, *hands):
        hand.gets_through()
    ground.ends(trial.history, *hands)
    trial.says(f"{len(tried)} refused: {', '.join(what for what, _, _ in tried)}")
    trial.judge("I2", "I3", "I4", "I7", "I15")


@pytest.mark.planted("R-24")
def test_a_bad_copy_that_is_taken_is_noticed(ground: Ground, trial: Trial, tmp_path: Path) -> None:
    """A whole copy, to show that the looking above can tell one that is refused from one that is put back."""
    copy = is_copied(ground.site)
    with new_site(tmp_path / "elsewhere") as site:
        assert not refused(site, copy)
    trial.says("a copy that is put back")
