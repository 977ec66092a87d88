"""Makes a copy. It gets its name only when it is complete and has been read back; until then it is nothing."""

import errno
import os
import shlex
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.utils import timezone

from harvestlog.copies import locks, manifest, photos, places, postgresql_copy, sqlite_copy
from harvestlog.copies.check import check
from harvestlog.copies.facts import PhotoRow
from harvestlog.copies.manifest import DATABASES, FORMAT, BadCopy, Facts, FileFacts, Manifest
from harvestlog.refusal import Refusal


class Full(Refusal):
    """There is no room for it."""


class NoFolder(Refusal):
    """The folder it should go to is not there, most often because its disk is not."""


def make(*, why: str, to: Path, keep: int | None = None) -> tuple[Path, Manifest]:
    """The new copy and what it holds; of older ones with the same reason, `keep` in all are left.

    Raises Refusal (a sentence) when it cannot be had; the half copy is gone then and older ones are as they were.
    """
    _check_there_is_something()
    try:
        _open(to)
        with locks.making(to), locks.sharing(settings.DATA):
            places.clear_unfinished(to)
            copy, said = _make(why, to)
            if keep is not None:
                places.clear(to, why=why, keep=keep)
            return copy, said
    except BadCopy as bad:
        raise Refusal(
            f"the new copy is not whole and was thrown away; older ones are as they were. {bad}"
        ) from bad
    except OSError as error:
        raise _refusal(error, to) from error
    except connection.Database.Error as error:  # type: ignore[attr-defined]  # every backend has it
        full = "disk is full" in str(error) or "No space left" in str(error)
        raise _full(to) if full else Refusal(f"the database could not be copied: {error}") from error


def _check_there_is_something() -> None:
    file = Path(connection.settings_dict["NAME"])
    if connection.vendor == "sqlite" and not file.exists():
        raise Refusal(f"there is nothing to copy: {file} does not exist. See --data")


def _open(to: Path) -> None:
    """Only our own folder is made. One that was named and is missing lies on a stick that is not mounted: made anew it
    would be on the very disk that the copies are to outlive.
    """
    if to == places.beside_the_records():
        to.mkdir(mode=0o700, parents=True, exist_ok=True)
    elif not to.exists():
        raise NoFolder(
            f"there is no folder {to} to put a copy in. If it lies on a stick or another disk, mount that first; "
            f"or make the folder: mkdir -p {shlex.quote(str(to))}"
        )


def _make(why: str, to: Path) -> tuple[Path, Manifest]:
    made = timezone.now()
    name = places.name_for(made, why)
    with _coming(to / (places.COMING + name)) as copy:
        facts, rows = _take_database(copy)
        former = next(places.ours_in(to), None)
        lost = photos.gather(rows, copy, former)
        whole = [row for row in rows if row.name not in lost]
        manifest.write(copy, _described(copy, why, made, facts, whole, lost))
        said = check(copy).model_copy(update={"verified": timezone.now()})
        manifest.write(copy, said)
        _settle(copy)
        final = copy.rename(_free(to / name))
        _sync(to)
    return final, manifest.read(final)


@contextmanager
def _coming(folder: Path) -> Iterator[Path]:
    folder.mkdir(mode=0o700)
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)  # after a success it has another name


def _take_database(copy: Path) -> tuple[Facts, list[PhotoRow]]:
    if connection.vendor == "postgresql":
        return postgresql_copy.take(copy / DATABASES["postgresql"])
    file = copy / DATABASES["sqlite"]
    sqlite_copy.take(Path(connection.settings_dict["NAME"]), file)
    return sqlite_copy.check(file)


def _described(
    copy: Path, why: str, made: datetime, facts: Facts, whole: list[PhotoRow], lost: list[str]
) -> Manifest:
    database = DATABASES[connection.vendor]
    hashes = {database: photos.hash_of(copy / database)} | {f"photos/{row.name}": row.sha256 for row in whole}
    files = {
        name: FileFacts(sha256=sha256, size=(copy / name).stat().st_size) for name, sha256 in hashes.items()
    }
    return Manifest(
        server=places.own_id(), format=FORMAT, app=settings.VERSION, why=why, made=made, verified=None,
        database=connection.vendor, facts=facts, files=files, lost=lost,
    )  # fmt: skip


def _settle(copy: Path) -> None:
    """For this account alone, and on the disk, before the copy has a name."""
    for path in [copy, *copy.rglob("*")]:
        path.chmod(0o700 if path.is_dir() else 0o600)
        _sync(path)


def _sync(path: Path) -> None:
    if path.is_dir() and os.name != "posix":
        return  # Windows opens no folders
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _free(path: Path) -> Path:
    """Two copies in one second: the later one waits for no clock."""
    stem, _, why = path.name.rpartition("_")
    number = 1
    while path.exists():
        number += 1
        path = path.with_name(f"{stem}.{number}_{why}")
    return path


def _refusal(error: OSError, to: Path) -> Refusal:
    if error.errno in {errno.ENOSPC, errno.EDQUOT}:
        return _full(to)
    return Refusal(f"cannot make a copy in {to}: {error.filename or ''} {error.strerror}. See --to")


def _full(to: Path) -> Refusal:
    return Full(
        f"there is not enough room in {to} for another copy. Older copies are as they were. Make room, or choose "
        "another disk with --to or HARVESTLOG_COPIES"
    )
