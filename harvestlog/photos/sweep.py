"""Files that no row vouches for: left by a crash between a picture's file and its row, or by one while it was written."""

import os
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

from django.core.files.storage import default_storage
from django.utils import timezone

from harvestlog.photos.models import PhotoFile
from harvestlog.photos.storage import PhotoFolder

# A phone sends a picture again with its next pass: two days are more than any upload takes.
OLDEST = timedelta(hours=48)
_GOING = ".going-"


def sweep(now: datetime | None = None) -> int:
    """Removes them once they are older than 48 hours, and says how many; never a younger one, nor one that a row names.

    Only on this machine's own disk: elsewhere the storage has rules of its own for what is left over.
    """
    if not isinstance(default_storage, PhotoFolder) or not Path(default_storage.location).is_dir():
        return 0
    top, before = Path(default_storage.location), (now or timezone.now()) - OLDEST
    return sum(_remove(path, before) for folder in _folders(top) for path in _orphans(top, folder, before))


def _folders(top: Path) -> Iterator[Path]:
    for folder, _, _ in os.walk(top):
        yield Path(folder)


def _orphans(top: Path, folder: Path, before: datetime) -> list[Path]:
    """Old files of one folder without a row, in one query."""
    files = [path for path in folder.iterdir() if path.is_file() and _is_older(path, before)]
    names = {path: path.relative_to(top).as_posix() for path in files}
    known = set(PhotoFile.objects.filter(name__in=names.values()).values_list("name", flat=True))
    return [path for path, name in names.items() if name not in known]


def _remove(path: Path, before: datetime) -> int:
    """Taken aside first: the same picture may arrive at this very moment under this very name."""
    aside = path.with_name(f"{_GOING}{path.name}")
    try:
        path.rename(aside)
        if not _is_older(aside, before):
            aside.replace(path)  # it has just come, and its row is about to
            return 0
        aside.unlink()
    except FileNotFoundError:
        return 0  # its farm was forgotten meanwhile
    return 1


def _is_older(path: Path, before: datetime) -> bool:
    return path.stat().st_mtime < before.timestamp()
