"""The drill: a real server, two phones, a copy made under load, more records, the copy put back; then by a bare swap."""

import os
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.copies.sites import Hand, Site, new_site, raw_copy, raw_swap
from tests.setup.server import Served


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Site]:
    with new_site(tmp_path / "farm") as made:
        yield made


class Drill:
    """Ada owns the farm, Bo picks there. What was ever saved on one of their phones stands in `made`."""

    def __init__(self, site: Site) -> None:
        self.site, self.served = site, site.up()
        self.ada = Hand("Ada").set_up(self.served)
        self.bo = Hand("Bo").join(self.ada, "owner")
        self.made: set[str] = set()
        self.deleted: set[str] = set()

    def write(self, hand: Hand, count: int) -> list[str]:
        rows = [hand.add_place(f"Shelf {number}") for number in range(count)]
        self.made |= set(rows)
        return rows

    def delete(self, hand: Hand, row: str) -> None:
        hand.change("delete", "place", row)
        self.deleted.add(row)

    def restart(self, *, between: object = None) -> Served:
        self.served.stop()
        if callable(between):
            between()
        self.served = self.site.up()
        for hand in (self.ada, self.bo):
            hand.at(self.served.url)
        return self.served

    def before_the_copy(self) -> list[str]:
        rows = self.write(self.ada, 20)
        self.ada.add_photo(1)
        self.bo.sync()
        self.delete(self.bo, rows[0])
        self.bo.sync()
        return rows

    def after_the_copy(self, rows: list[str]) -> str:
        """Both write on; Bo deletes a record that the copy still shows, and Ada's last ones were read by nobody else."""
        self.write(self.bo, 5)
        self.delete(self.bo, rows[1])
        self.bo.sync()
        self.ada.sync()
        self.ada.change("patch", "place", rows[2], {"note": "damp"})
        full = self.ada.add_photo(2)
        self.write(self.ada, 5)
        self.ada.sync()
        return full

    def hold_the_promises(self) -> None:
        for hand in (self.ada, self.bo, self.ada, self.bo):
            hand.sync()
        fresh = Hand("Ada").at(self.served.url).sign_in()
        fresh.sync()
        assert self.ada.canonical() == self.bo.canonical() == fresh.canonical()
        assert self.made <= set(fresh.confirmed)
        gone = {id for id, row in fresh.confirmed.items() if row["deleted"]}
        assert gone == self.deleted
        assert self.ada.outbox == self.bo.outbox == []
        assert [hand.parked for hand in (self.ada, self.bo)] == [[], []]


@pytest.fixture
def drill(site: Site) -> Iterator[Drill]:
    made = Drill(site)
    yield made
    if made.served.program.poll() is None:
        made.served.stop()


class Load:
    """Somebody who saves and sends all the while."""

    def __init__(self, drill: Drill) -> None:
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, args=(drill,))
        self.batches = 0

    def _run(self, drill: Drill) -> None:
        while not self._stop.is_set():
            drill.write(drill.ada, 10)
            drill.ada.push()
            self.batches += 1

    def __enter__(self) -> "Load":
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join()


def test_a_copy_made_under_load_and_put_back_by_command_is_healed_by_the_phones(drill: Drill) -> None:
    rows = drill.before_the_copy()
    with Load(drill) as load:
        made = drill.site.run("backup")
    assert (made.returncode, made.stderr) == (0, "")
    assert load.batches > 1
    full = drill.after_the_copy(rows)
    dora = Hand("Dora").join(drill.ada, "owner")
    drill.write(dora, 3)
    for hand in (dora, drill.ada):
        hand.sync()
    there = len(drill.ada.confirmed)

    def put_back() -> None:
        done = drill.site.run("restore", str(drill.site.copies()[0]), "--yes")
        assert (done.returncode, done.stderr) == (0, "")

    drill.restart(between=put_back)
    for hand in (drill.ada, drill.bo):
        assert hand.line.ask("GET", "/api/sync/pull")[0] == 401  # everybody signs in again
        hand.sign_in()
    dora.at(drill.served.url).sign_in().sync()  # although she joined after the copy
    drill.hold_the_promises()
    assert len(drill.ada.confirmed) == there
    # A picture from after the copy, which Ada's phone need not have any more.
    assert drill.ada.line.ask("GET", f"/api/photos/{full}")[0] == 200


def test_a_bare_swap_of_the_database_is_noticed_and_healed_by_the_phones(
    drill: Drill, tmp_path: Path
) -> None:
    rows = drill.before_the_copy()
    copy = tmp_path / "older"
    drill.restart(between=lambda: raw_copy(drill.site, copy))
    full = drill.after_the_copy(rows)
    epoch = drill.ada.epoch

    def swap() -> None:
        raw_swap(drill.site, copy)
        for path in (drill.site.folder / "photos").rglob("*.jpg"):
            os.utime(path, (0, 0))  # pictures have lain there for long

    drill.restart(between=swap)
    # Carl has seen nothing of it and fills the old database beyond every cursor.
    carl = Hand("Carl").join(drill.ada, "owner")
    carl.sync()
    drill.write(carl, 60)
    carl.sync()
    drill.hold_the_promises()
    assert drill.ada.epoch not in ("", epoch)
    carl.sync()
    assert carl.canonical() == drill.ada.canonical()
    # Named again by the record, and no phone has to hold it any more.
    assert drill.ada.line.ask("GET", f"/api/photos/{full}")[0] == 200
