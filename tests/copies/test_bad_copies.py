"""`harvestlog restore` refuses what is no whole copy of ours, says why, and then nothing has changed."""

import hashlib
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.copies.conftest import Kept
from tests.copies.sites import URL, Site

DATABASE = "harvestlog.pgdump" if URL else "harvestlog.sqlite3"
Harm = Callable[[Path], None]


@pytest.fixture(scope="module")
def copy(kept: Kept) -> Path:
    return kept.backup()


def sealed_again(copy: Path, **changes: Any) -> None:
    """A manifest that says something else and bears a right seal, as another release would write it."""
    path = copy / "manifest.json"
    said = json.loads(path.read_text())["manifest"] | changes
    seal = hashlib.sha256(json.dumps(said, sort_keys=True, separators=(",", ":")).encode()).hexdigest()
    path.write_text(json.dumps({"seal": seal, "manifest": said}))


def facts(copy: Path) -> dict[str, Any]:
    said: dict[str, Any] = json.loads((copy / "manifest.json").read_text())["manifest"]
    return said


def a_picture(copy: Path) -> Path:
    return sorted((copy / "photos").rglob("*.jpg"))[0]


def cut(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-512])


def flip(file: Path, at: int) -> None:
    data = bytearray(file.read_bytes())
    data[at] ^= 1
    file.write_bytes(data)


def cut_manifest(copy: Path) -> None:
    (copy / "manifest.json").write_text((copy / "manifest.json").read_text()[:-100])


def altered_manifest(copy: Path) -> None:
    path = copy / "manifest.json"
    path.write_text(path.read_text().replace('"seq": 12', '"seq": 11'))


def newer_release(copy: Path) -> None:
    known = facts(copy)["facts"]
    sealed_again(copy, facts=known | {"migrations": [*known["migrations"], "blocks.0099_later"]})


def other_database(copy: Path) -> None:
    other = "harvestlog.sqlite3" if URL else "harvestlog.pgdump"
    (copy / DATABASE).rename(copy / other)
    files = facts(copy)["files"]
    files[other] = files.pop(DATABASE)
    sealed_again(copy, database="sqlite" if URL else "postgresql", files=files)


def a_farm_that_is_no_id(copy: Path) -> None:
    """On PostgreSQL the farms' ids stand in the script that puts a copy in place."""
    known = facts(copy)["facts"]
    (farm,) = known["farms"].values()
    sealed_again(copy, facts=known | {"farms": {"x';\n\\! touch /tmp/owned\n--": farm}})


def leading_out(copy: Path) -> None:
    files = facts(copy)["files"]
    sealed_again(copy, files=files | {"photos/../../../etc/passwd": files[DATABASE]})


def without_a_picture(copy: Path) -> None:
    """Complete by its own word, but the database vouches for more."""
    name = a_picture(copy).relative_to(copy).as_posix()
    sealed_again(copy, files={known: file for known, file in facts(copy)["files"].items() if known != name})


def without_manifest(copy: Path) -> None:
    """A bare copy of a live database: what its log still held is missing."""
    (copy / "manifest.json").unlink()


BAD: dict[str, tuple[Harm, str]] = {
    "a database that was cut off": (lambda copy: cut(copy / DATABASE), "bytes instead of"),
    "a byte of the database altered": (lambda copy: flip(copy / DATABASE, 9000), f"{DATABASE} was changed"),
    "a byte of a picture altered": (lambda copy: flip(a_picture(copy), 40), ".jpg was changed"),
    "a picture that is missing": (lambda copy: a_picture(copy).unlink(), ".jpg is missing"),
    "a manifest that was cut off": (cut_manifest, "is damaged or cut off"),
    "a manifest that was altered": (altered_manifest, "was changed after the copy was made"),
    "a newer format": (lambda copy: sealed_again(copy, format=3), "made by a newer harvestlog"),
    "migrations of a newer release": (newer_release, "knows blocks.0099_later"),
    "another kind of database": (other_database, "HARVESTLOG_DATABASE_URL"),
    "files outside the copy": (leading_out, "belong to no copy"),
    "a farm whose id is a command": (a_farm_that_is_no_id, "cannot be read as a manifest"),
    "no manifest": (without_manifest, "is no copy that harvestlog backup made"),
    "nothing at all": (shutil.rmtree, "there is nothing at"),
}


def state(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file() and path.name != ".in-use"
    }


@pytest.mark.parametrize("what", BAD)
def test_a_bad_copy_is_refused_with_its_reason_and_nothing_has_changed(
    kept: Kept, copy: Path, tmp_path: Path, what: str
) -> None:
    bad = Path(shutil.copytree(copy, tmp_path / copy.name))
    harm, reason = BAD[what]
    harm(bad)
    before = state(kept.site.folder)
    done = kept.site.run("restore", str(bad), "--yes")
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert reason in done.stderr
    assert state(kept.site.folder) == before


@pytest.mark.skipif(bool(URL), reason="what a dump vouches for is only known to its manifest")
def test_a_copy_that_lacks_a_picture_its_database_vouches_for_is_refused(
    kept: Kept, copy: Path, tmp_path: Path
) -> None:
    bad = Path(shutil.copytree(copy, tmp_path / copy.name))
    without_a_picture(bad)
    done = kept.site.run("restore", str(bad), "--yes")
    assert (done.returncode, "is missing from" in done.stderr) == (2, True)


@pytest.mark.skipif(bool(URL), reason="PostgreSQL's files are no copy for anybody")
def test_a_bare_copy_of_the_live_database_file_is_refused(kept: Kept, tmp_path: Path) -> None:
    bare = shutil.copy(kept.site.database, tmp_path / "bare.sqlite3")
    done = kept.site.run("restore", str(bare), "--yes")
    assert (done.returncode, "A bare copy of a database file" in done.stderr) == (2, True)


def test_what_somebody_put_into_a_copy_does_not_reach_the_server(
    kept: Kept, copy: Path, tmp_path: Path
) -> None:
    bad = Path(shutil.copytree(copy, tmp_path / copy.name))
    a_picture(bad).with_name("f" * 64 + ".jpg").write_bytes(b"not ours")
    site = Site(Path(shutil.copytree(kept.site.folder, tmp_path / "farm")), kept.site.more)
    assert site.run("restore", str(bad), "--yes").returncode == 0
    assert not list((site.folder / "photos").rglob("f" * 64 + ".jpg"))


def test_without_an_answer_nothing_is_put_back(kept: Kept, copy: Path) -> None:
    before = state(kept.site.folder)
    done = kept.site.run("restore", str(copy))
    assert (done.returncode, "--yes" in done.stderr) == (2, True)
    assert state(kept.site.folder) == before
