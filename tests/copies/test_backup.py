"""`harvestlog backup`: what is in a copy, who can read it, and what happens when it cannot be made."""

import fcntl
import os
import re
import shutil
import stat
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.copies.conftest import Kept
from tests.copies.sites import URL, Site
from tests.setup import postgres

DATABASE = "harvestlog.pgdump" if URL else "harvestlog.sqlite3"


def text_of(copy: Path) -> bytes:
    """All that can be read in the copied database."""
    if not URL:
        return (copy / DATABASE).read_bytes()
    order = [str(postgres.programs() / "pg_restore"), "--file=-", str(copy / DATABASE)]
    return subprocess.run(order, check=True, capture_output=True).stdout


def modes(folder: Path) -> set[tuple[str, int]]:
    paths = [folder, *folder.rglob("*")]
    return {("folder" if path.is_dir() else "file", stat.S_IMODE(path.stat().st_mode)) for path in paths}


def pictures(folder: Path) -> dict[str, Path]:
    return {path.name: path for path in (folder / "photos").rglob("*.jpg")}


def test_one_line_says_where_what_how_big_and_that_it_was_verified(kept: Kept) -> None:
    done = kept.site.run("backup")
    said = re.fullmatch(
        r"Copied to (\S+): 1 farm, 12 records, 2 pictures, \d+\.\d MB, verified by reading it back\.\n",
        done.stdout,
    )
    assert said, done.stdout
    assert Path(said[1]) in kept.site.copies()


def test_everything_in_it_is_for_this_account_alone(kept: Kept) -> None:
    assert modes(kept.backup()) == {("folder", 0o700), ("file", 0o600)}


def test_it_holds_every_picture_byte_for_byte(kept: Kept) -> None:
    copied, own = pictures(kept.backup()), pictures(kept.site.folder)
    assert {name: path.read_bytes() for name, path in copied.items()} == {
        name: path.read_bytes() for name, path in own.items()
    }
    assert len(copied) == 2


def test_neither_the_secret_key_nor_a_sign_in_is_in_it(kept: Kept) -> None:
    copy = kept.backup()
    key = (kept.site.folder / "secret-key").read_text().strip()
    everything = text_of(copy) + b"".join(path.read_bytes() for path in copy.rglob("*") if path.is_file())
    assert b"ada@example.org" in everything
    assert key.encode() not in everything
    assert kept.cookie.encode() not in everything


def test_copies_share_their_pictures_with_each_other_but_never_with_the_server(kept: Kept) -> None:
    first, second = pictures(kept.backup()), pictures(kept.backup())
    own = pictures(kept.site.folder)
    for name in own:
        assert first[name].samefile(second[name])
        assert not first[name].samefile(own[name])


def test_a_picture_that_went_bad_in_the_former_copy_is_taken_from_the_server_again(kept: Kept) -> None:
    for path in pictures(kept.backup()).values():
        path.write_bytes(b"rust")
    assert all(path.read_bytes() != b"rust" for path in pictures(kept.backup()).values())


def test_a_picture_that_is_damaged_on_the_server_is_named_and_does_not_stop_the_copy(kept: Kept) -> None:
    for copy in kept.site.copies():
        shutil.rmtree(copy)
    name, path = sorted(pictures(kept.site.folder).items())[0]
    whole = path.read_bytes()
    path.write_bytes(whole[:-1])
    try:
        done = kept.site.run("backup")
    finally:
        path.write_bytes(whole)
    assert done.returncode == 0
    assert (
        f"missing or damaged on this server itself: {path.relative_to(kept.site.folder / 'photos')}"
        in done.stdout
    )
    assert name not in pictures(kept.site.copies()[0])


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    made = tmp_path / "USB STICK"
    made.mkdir()
    return made


def test_it_goes_where_it_is_told(kept: Kept, stick: Path) -> None:
    done = kept.site.run("backup", "--to", str(stick))
    assert done.returncode == 0
    assert len(list(stick.glob("*/manifest.json"))) == 1
    assert "on the same disk as the records" in done.stdout


@pytest.mark.parametrize("named", ["--to", "HARVESTLOG_COPIES"])
def test_a_folder_that_was_named_and_is_not_there_is_not_made(kept: Kept, tmp_path: Path, named: str) -> None:
    stick = tmp_path / "not mounted"
    told = (["--to", str(stick)], {}) if named == "--to" else ([], {named: str(stick)})
    done = kept.site.run("backup", *told[0], **told[1])
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert f"there is no folder {stick} to put a copy in" in done.stderr
    assert f"mkdir -p '{stick}'" in done.stderr
    assert not stick.exists()


@pytest.fixture(scope="module")
def nine(kept: Kept) -> tuple[list[Path], str]:
    """In the server's own folder: all that were ever made, and what the last command said."""
    made, said = set(kept.site.copies()), ""
    while len(made) < 9:
        said = kept.site.run("backup").stdout
        made |= set(kept.site.copies())
    return sorted(made), said


class TestHowManyMadeByHandAreKept:
    def test_seven_in_the_servers_own_folder(self, kept: Kept, nine: tuple[list[Path], str]) -> None:
        made, _ = nine
        assert kept.site.copies() == made[-7:]

    def test_and_what_went_is_said(self, nine: tuple[list[Path], str]) -> None:
        made, said = nine
        assert f"Removed, as the newest 7 made by hand are kept: {made[1].name}\n" in said

    def test_all_in_a_folder_that_was_named(self, kept: Kept, stick: Path) -> None:
        for number in range(8):
            (stick / f"2026-01-0{number + 1}_000000_by-hand").mkdir()
            copy = stick / f"2026-01-0{number + 1}_000000_by-hand" / "manifest.json"
            copy.write_text((kept.site.copies()[0] / "manifest.json").read_text())
        assert kept.site.run("backup", "--to", str(stick)).returncode == 0
        assert len(list(stick.glob("*_by-hand"))) == 9


def test_of_older_ones_so_many_are_kept_and_those_of_other_reasons_too(kept: Kept, stick: Path) -> None:
    to = stick
    kept.site.run("backup", "--to", str(to))
    daily = next(to.glob("*_by-hand"))
    daily.rename(daily.with_name("2026-01-01_000000_daily"))
    for _ in range(4):
        kept.site.run("backup", "--to", str(to), "--keep", "2")
    assert len(list(to.glob("*_by-hand*"))) == 2
    assert (to / "2026-01-01_000000_daily").exists()


@pytest.mark.parametrize("typed", ["0", "-1", "all"])
def test_what_is_no_number_of_copies_is_shown_back(kept: Kept, typed: str) -> None:
    done = kept.site.run("backup", f"--keep={typed}")
    assert done.returncode == 2
    assert f"'{typed}' is no number of copies" in done.stderr


def test_where_copies_are_switched_off_it_asks_where_to(kept: Kept) -> None:
    done = kept.site.run("backup", HARVESTLOG_COPIES="0")
    assert done.returncode == 2
    assert "--to FOLDER" in done.stderr


def test_while_another_one_is_being_made_it_waits_for_nobody(kept: Kept) -> None:
    kept.backup()
    with (kept.site.folder / "copies" / ".making").open("w") as other:
        fcntl.flock(other, fcntl.LOCK_EX)
        done = kept.site.run("backup")
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "another copy is being made" in done.stderr


def test_what_a_power_cut_left_half_done_is_cleared_away(kept: Kept) -> None:
    half = kept.site.folder / "copies" / ".coming-2026-01-01_000000_daily"
    half.mkdir(parents=True)
    (half / DATABASE).write_bytes(b"half")
    kept.backup()
    assert not half.exists()


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    disk = tmp_path / "disk"
    disk.mkdir()
    order = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)]
    if os.geteuid() != 0 or subprocess.run(order, capture_output=True).returncode:
        pytest.skip("a disk of 64 kB can only be mounted by root")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def test_a_full_disk_is_one_sentence_and_nothing_is_left_of_the_half_copy(
    kept: Kept, small_disk: Path
) -> None:
    older = small_disk / "2026-01-01_000000_by-hand"
    older.mkdir()
    (older / "manifest.json").write_text("{}")
    filler = small_disk / "filler"
    filler.write_bytes(bytes(40_000))
    done = kept.site.run("backup", "--to", str(small_disk), "--keep", "1")
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert f"not enough room in {small_disk}" in done.stderr
    assert {path.name for path in small_disk.iterdir()} == {".making", "filler", older.name}


@pytest.mark.skipif(bool(URL), reason="PostgreSQL looks after its own pages")
def test_of_a_damaged_database_no_copy_is_made(kept: Kept, tmp_path: Path) -> None:
    ill = Site(Path(shutil.copytree(kept.site.folder, tmp_path / "ill")))
    pages = bytearray(ill.database.read_bytes())
    pages[len(pages) // 2 :] = bytes(len(pages) - len(pages) // 2)
    ill.database.write_bytes(pages)
    copies = ill.copies()
    done = ill.run("backup")
    assert (done.returncode, done.stderr.count("\n"), "Traceback" in done.stderr) == (2, 1, False)
    assert ill.copies() == copies


@pytest.mark.skipif(bool(URL), reason="on PostgreSQL there is a database before there is a folder")
def test_without_a_database_there_is_nothing_to_copy_and_no_folder_is_made(tmp_path: Path) -> None:
    done = Site(tmp_path / "none").run("backup")
    assert done.returncode == 2
    assert "there is nothing to copy" in done.stderr
    assert not (tmp_path / "none").exists()
