"""`harvestlog restore`: when it may, what it keeps, and that a restore that was cut short is completed."""

import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import cast

import pytest
from django.conf import settings
from django.db import OperationalError

from harvestlog.copies import locks, restore, sqlite_restore
from harvestlog.copies.manifest import Manifest
from harvestlog.refusal import Refusal
from tests.copies.conftest import Kept, a_farm
from tests.copies.sites import URL, Hand, Site, new_site

only_sqlite = pytest.mark.skipif(bool(URL), reason="about the files of SQLite")


@pytest.fixture
def farm(site: Site) -> Kept:
    return a_farm(site)


@pytest.fixture
def elsewhere(tmp_path: Path) -> Iterator[Site]:
    """Another machine, on which harvestlog never ran."""
    with new_site(tmp_path / "elsewhere") as made:
        yield made


def put_back(site: Site, copy: Path) -> str:
    done = site.run("restore", str(copy), "--yes")
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


def places_of(site: Site) -> int:
    """How many records Ada finds there."""
    served = site.up()
    try:
        hand = Hand("Ada").at(served.url).sign_in()
        hand.sync()
        return len(hand.confirmed)
    finally:
        served.stop()


def test_while_a_server_runs_on_the_folder_it_refuses(farm: Kept) -> None:
    copy = farm.backup()
    served = farm.site.up()
    try:
        done = farm.site.run("restore", str(copy), "--yes")
    finally:
        served.stop()
    assert (done.returncode, "a server is running on" in done.stderr) == (2, True)


def test_a_copy_can_be_put_back_on_a_machine_that_never_had_a_farm(farm: Kept, elsewhere: Site) -> None:
    said = put_back(elsewhere, farm.backup())
    assert "1 farm, 12 records, 2 pictures" in said
    assert "before" not in said.replace("before is kept", "before")
    assert places_of(elsewhere) == 12
    assert len(list((elsewhere.folder / "photos").rglob("*.jpg"))) == 2


def test_what_was_there_before_is_kept_and_can_be_put_back_by_hand(farm: Kept) -> None:
    copy = farm.backup()
    served = farm.site.up()
    farm.ada.at(served.url).add_place("Loft")
    farm.ada.sync()
    served.stop()
    said = put_back(farm.site, copy)
    assert "What was there before is kept: " in said
    if not URL:
        aside = next(farm.site.folder.glob("before-*"))
        assert str(aside) in said
        shutil.copy(aside / "harvestlog.sqlite3", farm.site.database)
        assert places_of(farm.site) == 13


@only_sqlite
def test_a_database_that_is_damaged_can_be_replaced_and_that_newcomers_are_unknown_is_said(
    farm: Kept,
) -> None:
    copy = farm.backup()
    farm.site.database.write_bytes(b"rust" * 5000)
    done = farm.site.run("restore", str(copy), "--yes")
    assert done.returncode == 0
    assert "who joined after the copy cannot be read from" in done.stderr
    assert places_of(farm.site) == 12


def test_a_damaged_picture_is_made_whole_from_the_copy(farm: Kept) -> None:
    copy = farm.backup()
    path = next((farm.site.folder / "photos").rglob("*.jpg"))
    whole = path.read_bytes()
    path.write_bytes(b"rust")
    put_back(farm.site, copy)
    assert path.read_bytes() == whole


def test_the_audit_names_the_copy(farm: Kept) -> None:
    copy = farm.backup()
    put_back(farm.site, copy)
    later = farm.backup()
    if not URL:
        base = sqlite3.connect(later / "harvestlog.sqlite3")
        deeds = base.execute("SELECT by_id, detail FROM accounts_deed WHERE verb = 'restored'").fetchall()
        base.close()
        assert [(by, "made" in detail) for by, detail in deeds] == [(None, True)]


@only_sqlite
@pytest.mark.parametrize("moved", [0, 1, 2, 3])
def test_a_restore_that_was_killed_between_two_steps_is_completed_by_the_next_start(
    tmp_path: Path, moved: int
) -> None:
    names = ["harvestlog.sqlite3-wal", "harvestlog.sqlite3-shm", "harvestlog.sqlite3"]
    for name in names:
        (tmp_path / name).write_text(f"old {name}")
    (tmp_path / ".restored-20260501T120000Z").write_text("new")
    aside = tmp_path / "before-20260501T120000Z"
    for name in names[:moved]:
        aside.mkdir(exist_ok=True)
        (tmp_path / name).rename(aside / name)
    sqlite_restore.complete_if_cut_short(tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == {"harvestlog.sqlite3", aside.name, ".in-use"}
    assert (tmp_path / "harvestlog.sqlite3").read_text() == "new"
    assert {path.name: path.read_text() for path in aside.iterdir()} == {
        name: f"old {name}" for name in names
    }


@only_sqlite
def test_two_restores_in_one_second_set_two_databases_aside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(settings, "DATA", tmp_path)
    monkeypatch.setattr(sqlite_restore, "_prepare", lambda file, manifest: 0)
    (tmp_path / "harvestlog.sqlite3").write_text("first")
    for name in ("second", "third"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "harvestlog.sqlite3").write_text(name)
        sqlite_restore.put_in_place(tmp_path / name, cast(Manifest, None), "now")
    aside = sorted(tmp_path.glob("before-*/harvestlog.sqlite3"))
    assert [path.read_text() for path in aside] == ["first", "second"]


@only_sqlite
def test_without_room_for_the_database_it_says_so_and_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_room(copy: Path, said: Manifest, word: str) -> None:
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(settings, "DATA", tmp_path)
    monkeypatch.setattr(restore, "_put_back", no_room)
    for name in ("read", "check"):
        monkeypatch.setattr(restore, name, lambda copy: cast(Manifest, None))
    monkeypatch.setattr(restore, "_check_release", lambda copy, said: None)
    with pytest.raises(Refusal, match="there is not enough room in"):
        restore.restore(tmp_path / "copy", agreed=lambda said: True)


@only_sqlite
def test_a_start_puts_in_place_what_a_killed_restore_had_ready(farm: Kept) -> None:
    farm.site.database.rename(farm.site.folder / ".restored-20260501T120000Z")
    assert places_of(farm.site) == 12


def test_one_folder_takes_many_who_share_it_or_one_alone(tmp_path: Path) -> None:
    with (
        locks.sharing(tmp_path),
        locks.sharing(tmp_path),
        pytest.raises(Refusal, match="a server is running"),
    ):
        locks.alone(tmp_path).__enter__()
    with locks.alone(tmp_path), pytest.raises(Refusal, match="being put back"):
        locks.sharing(tmp_path).__enter__()
    with locks.alone(tmp_path):
        pass
