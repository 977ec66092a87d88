"""A newer release changes an existing database only after a copy, and a start that was killed is made good by the next."""

import os
import signal
import subprocess
import sys
import time
from contextlib import suppress

import pytest

from tests.copies.conftest import Kept, a_farm
from tests.copies.sites import Hand, Site
from tests.setup import server


def of_an_older_release(site: Site) -> Kept:
    """A farm as it was before the history had hashes."""
    farm = a_farm(site)
    order = [sys.executable, "-m", "django", "migrate", "sync", "0001", "--settings", "harvestlog.settings"]
    env = server.environment(site.more | {"HARVESTLOG_DATA": str(site.folder)})
    subprocess.run(order, check=True, capture_output=True, env=env)
    return farm


@pytest.fixture
def old(site: Site) -> Kept:
    return of_an_older_release(site)


def reasons(site: Site) -> list[str]:
    return [copy.name.rpartition("_")[2] for copy in site.copies()]


def records_of(site: Site) -> int:
    served = site.up()
    try:
        hand = Hand("Ada").at(served.url).sign_in()
        hand.sync()
        assert len(hand.seen["chain"]) == 64
        return len(hand.confirmed)
    finally:
        served.stop()


def test_a_copy_is_taken_before_the_database_is_changed(old: Kept) -> None:
    assert records_of(old.site) == 12
    assert reasons(old.site)[0] == "before-upgrade"


def test_that_copy_can_be_put_back_and_is_upgraded_then(old: Kept) -> None:
    records_of(old.site)
    done = old.site.run("restore", str(old.site.copies()[0]), "--yes")
    assert (done.returncode, done.stderr) == (0, "")
    assert records_of(old.site) == 12


def test_a_start_with_nothing_to_change_takes_no_such_copy(site: Site) -> None:
    a_farm(site)
    site.up().stop()
    assert "before-upgrade" not in reasons(site)


def test_without_room_for_the_copy_nothing_is_changed_and_the_way_on_is_named(old: Kept) -> None:
    (old.site.folder / "copies").write_text("no folder")
    code, said = server.refused(old.site.folder, "--port", str(server.free_port()), more=old.site.more)
    assert (code, "HARVESTLOG_COPIES=0" in said, "Traceback" in said) == (2, True, False)
    off = Site(old.site.folder, old.site.more | {"HARVESTLOG_COPIES": "0"})
    assert records_of(off) == 12


def test_a_start_that_is_killed_while_it_changes_the_database_is_made_good_by_the_next(old: Kept) -> None:
    for pause in (0.3, 0.45, 0.6, 0.8, 1.0):
        program = subprocess.Popen(
            [*server.command(), "up", "--port", str(server.free_port()), "--data", str(old.site.folder)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=server.environment(old.site.more),
            start_new_session=True,
        )
        time.sleep(pause)
        with suppress(ProcessLookupError):
            os.killpg(program.pid, signal.SIGKILL)
        program.wait()
    assert records_of(old.site) == 12
    assert "before-upgrade" in reasons(old.site)
