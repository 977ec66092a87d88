"""Puts a copy in the place of what is there, which is set aside and not thrown away.

A restored farm begins a new epoch: every phone then reads it from the beginning and sends what it still has, so that
what came after the copy comes back. Everybody signs in again (why: see this package). Roles are those of the copy.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader
from django.utils import timezone

from harvestlog.copies import locks, photos, postgresql_restore, sqlite_restore
from harvestlog.copies.check import check
from harvestlog.copies.manifest import BadCopy, Manifest, read
from harvestlog.refusal import Refusal


@dataclass(frozen=True)
class Restored:
    manifest: Manifest
    aside: str | None  # where what was there before is now; None when there was nothing
    adopted: int  # pictures from after the copy that were still lying here


def restore(copy: Path, *, agreed: Callable[[Manifest], bool]) -> Restored | None:
    """None when the person did not agree. Raises Refusal, and then no record has changed.

    On PostgreSQL a step of this release that fails on the older records leaves them in place: a start tries it again.
    """
    with locks.alone(settings.DATA):
        _check_release(copy, read(copy))
        manifest = check(copy)
        if not agreed(manifest):
            return None
        word = f"{timezone.now():%Y%m%dT%H%M%SZ}"
        try:
            return _put_back(copy, manifest, word)
        except OSError as error:
            raise Refusal(
                f"cannot put {copy} back: {error.filename or settings.DATA}: {error.strerror}"
            ) from error
        except DatabaseError as error:
            if "disk is full" not in str(error):
                raise
            raise Refusal(
                f"there is not enough room in {settings.DATA} to put {copy} back. What is there is as it was. Make room, "
                "then try again"
            ) from error


def _put_back(copy: Path, manifest: Manifest, word: str) -> Restored:
    photos.bring_back(copy, manifest.files)  # first: a row must never vouch for a file that is not there
    if connection.vendor == "postgresql":
        aside = postgresql_restore.put_in_place(copy, manifest, word)
        call_command("migrate", verbosity=0, interactive=False)
        return Restored(manifest, aside, photos.adopt())
    adopted, aside = sqlite_restore.put_in_place(copy, manifest, word)
    return Restored(manifest, aside, adopted)


def _check_release(copy: Path, manifest: Manifest) -> None:
    known = {".".join(migration) for migration in MigrationLoader(None).disk_migrations}
    unknown = [name for name in manifest.facts.migrations if name not in known]
    if unknown:
        raise BadCopy(
            f"{copy} was made by a newer harvestlog ({manifest.app}, which knows {unknown[0]}). "
            "Bring this one up to date, then try again"
        )
