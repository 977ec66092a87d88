"""Files that no row vouches for: left by a crash between a picture's file and its row, or by one while it was written.

A whole picture may be wanted all the same: the database beside it may be an older one that was put back or swapped in, or
for one start another one, and phones, which no longer hold it, will name it again. So it waits 90 days from the day on which
it was first found that nothing names it, however old it is, and the wait begins anew once something has named it.
"""

import os
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple
from uuid import UUID

from django.core.files.storage import default_storage
from django.utils import timezone

from harvestlog.accounts.models import Farm
from harvestlog.photos import actions, queries
from harvestlog.photos.storage import PhotoFolder
from harvestlog.photos.waiting import read, write

# A phone sends a picture again with its next pass: two days are more than any upload takes.
HALF_WRITTEN = timedelta(hours=48)
UNNAMED = timedelta(days=90)
_GOING = ".going-"


class _Found(NamedTuple):
    """What lies in one folder and is older than an upload takes."""

    halves: list[Path]
    unnamed: dict[str, Path]  # by the name under which a row would know it


def sweep(now: datetime | None = None) -> int:
    """Removes half-written files after 48 hours and pictures that nothing names after 90 days; says how many went.

    What a record names again is taken back. Where there is no farm at all this is not the pictures' database. Only on this
    machine's own disk: elsewhere the storage has rules of its own for what is left over.
    """
    if not isinstance(default_storage, PhotoFolder) or not Path(default_storage.location).is_dir():
        return 0
    if not Farm.objects.exists():
        return 0
    top, now = Path(default_storage.location), now or timezone.now()
    young, since, gone = now - HALF_WRITTEN, read(top), 0
    waiting: dict[str, datetime] = {}
    for folder in _folders(top):
        halves, unnamed = _look_round(top, folder, young)
        waits = {name: min(since.get(name, now), now) for name in unnamed}
        over = [name for name, first in waits.items() if first <= now - UNNAMED]
        waiting |= {name: first for name, first in waits.items() if name not in over}
        gone += sum(_remove(path, young) for path in [*halves, *map(unnamed.__getitem__, over)])
    write(top, waiting)
    return gone


def _folders(top: Path) -> Iterator[Path]:
    """All but the top one, where no picture lies."""
    for folder, _, _ in os.walk(top):
        if Path(folder) != top:
            yield Path(folder)


def _look_round(top: Path, folder: Path, young: datetime) -> _Found:
    try:
        old = [path for path in folder.iterdir() if path.is_file() and _is_older(path, young)]
    except FileNotFoundError:
        return _Found([], {})  # its farm was forgotten meanwhile
    halves = [path for path in old if path.name.startswith(".")]
    whole = {path.relative_to(top).as_posix(): path for path in old if not path.name.startswith(".")}
    loose = whole.keys() - queries.vouched_for(whole.keys())
    return _Found(halves, {name: whole[name] for name in loose if not _is_taken_back(top, whole[name])})


def _is_taken_back(top: Path, path: Path) -> bool:
    """Whether a record names it: then it has a row from now on, and is in the copies again."""
    try:
        farm = UUID(path.relative_to(top).parts[0])
    except ValueError:
        return False
    if not queries.is_named_in(farm, path.stem):
        return False
    actions.take_back(farm=farm, sha256=path.stem)
    return True


def _remove(path: Path, young: datetime) -> int:
    """Taken aside first: the same picture may arrive at this very moment under this very name, or be taken back."""
    aside = path.with_name(f"{_GOING}{path.name}")
    try:
        path.rename(aside)
        if not _is_older(aside, young):
            aside.replace(path)  # its row is about to come
            return 0
        aside.unlink()
    except FileNotFoundError:
        return 0  # its farm was forgotten meanwhile
    return 1


def _is_older(path: Path, than: datetime) -> bool:
    """False for one that has gone: a half-written file gets its name at any moment."""
    try:
        return path.stat().st_mtime < than.timestamp()
    except FileNotFoundError:
        return False
