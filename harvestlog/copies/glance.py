"""What a copy says of itself in short. Asked for every minute, so the manifest, of 23 MB with 100,000 pictures, is read once."""

import logging
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple
from uuid import UUID

from harvestlog.copies import manifest
from harvestlog.copies.manifest import BadCopy

log = logging.getLogger(__name__)


class Glance(NamedTuple):
    made: datetime
    verified: datetime
    bytes: int
    records: dict[UUID, int]  # by farm
    pictures_lost: int


def glance(copy: Path) -> Glance | None:
    """None for one that cannot be read, which the log says once."""
    try:
        file = (copy / manifest.NAME).stat()
        return _read(copy, file.st_mtime_ns, file.st_size, file.st_ino)
    except OSError as error:  # it has just been cleared away, or its disk fails
        log.warning("%s cannot be read: %s", copy, error.strerror)
        return None


@lru_cache(maxsize=64)
def _read(copy: Path, *_changed: int) -> Glance | None:
    try:
        said = manifest.read(copy)
    except BadCopy as bad:
        log.warning("%s", bad)
        return None
    return Glance(
        made=said.made,
        verified=said.verified or said.made,
        bytes=said.size,
        records={id: farm.records for id, farm in said.facts.farms.items()},
        pictures_lost=len(said.lost),
    )
