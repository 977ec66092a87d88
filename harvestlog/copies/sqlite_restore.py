"""Puts a copy of an SQLite database in place, in steps that a start of the server completes if they are cut short."""

import logging
import os
import shutil
from pathlib import Path
from uuid import uuid4

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from harvestlog.copies import locks, newcomers, photos, sqlite_copy, ways_in
from harvestlog.copies.manifest import DATABASES, Manifest

DATABASE = DATABASES["sqlite"]
COMING = ".coming-restore"
# A database that is ready to be put in place, and the word for where the present one goes.
READY = ".restored-"
ASIDE = "before-"
log = logging.getLogger(__name__)


def put_in_place(copy: Path, manifest: Manifest, word: str) -> tuple[int, str | None]:
    """Returns how many pictures were adopted, and where the former database is now."""
    complete(settings.DATA)  # one that was killed before: or a later start would put it over this one
    while (settings.DATA / f"{ASIDE}{word}").exists():
        word += "_"
    coming = settings.DATA / COMING
    shutil.rmtree(coming, ignore_errors=True)
    coming.mkdir(mode=0o700)
    try:
        file = coming / DATABASE
        photos.copy_file(copy / DATABASE, file)
        adopted = _prepare(file, manifest)
        file.replace(settings.DATA / f"{READY}{word}")
    finally:
        shutil.rmtree(coming)
    return adopted, complete(settings.DATA)


def _prepare(file: Path, manifest: Manifest) -> int:
    """Brings the database up to this release and begins every farm's new epoch, before anybody can see it."""
    settled, connection.settings_dict["NAME"] = connection.settings_dict["NAME"], str(file)
    try:
        connection.close()
        call_command("migrate", verbosity=0, interactive=False)
        _take_newcomers(Path(settled))
        with transaction.atomic():
            _begin_anew(manifest)
            adopted = photos.adopt()
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            cursor.execute("PRAGMA journal_mode=DELETE")  # all of it is in the one file that is moved
    finally:
        connection.close()
        connection.settings_dict["NAME"] = settled
    return adopted


def _take_newcomers(present: Path) -> None:
    if not present.exists():
        return
    with connection.cursor() as cursor:
        try:
            cursor.execute("ATTACH DATABASE %s AS present", [f"{present.absolute().as_uri()}?mode=ro"])
            with transaction.atomic():
                for order in newcomers.orders("present"):
                    cursor.execute(order)
            cursor.execute("DETACH DATABASE present")
        except DatabaseError as error:  # it may well be damaged, or it would not be replaced
            log.warning("who joined after the copy cannot be read from %s: %s", present, error)


def _begin_anew(manifest: Manifest) -> None:
    from harvestlog.accounts.deeds import note
    from harvestlog.accounts.models import Farm

    with connection.cursor() as cursor:
        tables = connection.introspection.table_names(cursor)
        for order in [*sqlite_copy.END_SIGN_INS, *ways_in.orders(tables)]:
            cursor.execute(order)
    for farm in Farm.objects.all():
        farm.epoch = uuid4()
        farm.save(update_fields=["epoch"])
        note(
            "restored",
            farm_id=farm.pk,
            by=None,
            about=farm.epoch,
            made=manifest.made.isoformat(),
            head=str(farm.seq),
        )


def complete(data: Path) -> str | None:
    """Moves a database that is ready into place, the present one aside. Each step can be done twice."""
    ready = next(iter(sorted(data.glob(f"{READY}*"), reverse=True)), None)
    if ready is None:
        return None
    aside = data / f"{ASIDE}{ready.name.removeprefix(READY)}"
    # The log first: beside another database it would be read as that one's.
    for name in (f"{DATABASE}-wal", f"{DATABASE}-shm", DATABASE):
        if (data / name).exists():
            aside.mkdir(mode=0o700, exist_ok=True)
            (data / name).rename(aside / name)
    ready.rename(data / DATABASE)
    _sync(data)
    return str(aside) if aside.exists() else None


def complete_if_cut_short(data: Path) -> None:
    """What a start of the server does first. Raises Busy while another program is at it."""
    if any(data.glob(f"{READY}*")):
        with locks.alone(data):
            complete(data)


def _sync(folder: Path) -> None:
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        os.fsync(handle)
        os.close(handle)
