"""What has to be there before the server may start: data folder, secret key, tables, the set-up code."""

import errno
import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import django
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.core.management import call_command
from django.db import DatabaseError, OperationalError, ProgrammingError, connection, connections
from django.db.migrations.exceptions import MigrationSchemaMissing
from django.db.migrations.executor import MigrationExecutor

from harvestlog import sqlite
from harvestlog.copies import locks, places, sqlite_restore
from harvestlog.refusal import Refusal
from harvestlog.whole_file import write_whole


def prepare() -> str | None:
    """Brings everything up to date; changes nothing at a second start.

    Returns the set-up code to show on the console, or None once somebody's farm exists.
    Raises Refusal when the folder, the database or the compiled phone app is not to be had.
    """
    read_settings()
    if not (settings.PWA / "index.html").exists():
        raise Refusal("the phone app is not compiled. In a checkout, start with: make up")
    _open_folder()
    with in_words():
        django.setup()
        _copy_before_upgrade()
        call_command("migrate", verbosity=0, interactive=False)
        call_command("clearsessions")
        return _setup_code()


def _open_folder() -> None:
    try:
        keep_folder(settings.DATA)
        settings.SECRET_KEY = keep_key(settings.KEY_FILE)
        sqlite_restore.complete_if_cut_short(settings.DATA)
        locks.hold(settings.DATA)
    except OSError as error:
        raise Refusal(
            f"cannot write {error.filename}: {error.strerror}. Choose another folder with --data"
        ) from None


@contextmanager
def settled() -> Iterator[None]:
    """For a command that reads or replaces what is there: Django is ready, and nothing has been made or changed."""
    read_settings()
    with in_words():
        django.setup()
        yield


@contextmanager
def in_words() -> Iterator[None]:
    """Has what its owner can put right about the database said as a Refusal; leaves no connection open."""
    try:
        yield
    except OperationalError as error:
        raise Refusal(f"the database does not answer: {str(error).strip()}") from None
    except (MigrationSchemaMissing, ProgrammingError) as error:
        raise _not_usable(error) from None
    except ImproperlyConfigured as error:
        raise Refusal(f"{error}. For PostgreSQL: pip install 'harvestlog[postgres]'") from None
    finally:
        connections.close_all()  # the server is a process of its own and must not inherit them


def _copy_before_upgrade() -> None:
    """A copy of records that a newer release is about to change. A start that was cut short takes another one."""
    from harvestlog.copies.make import make  # models need django.setup() first

    folder = places.own_folder()
    executor = MigrationExecutor(connection)
    waiting = executor.migration_plan(executor.loader.graph.leaf_nodes())
    if folder and waiting and executor.loader.applied_migrations:
        try:
            make(why=places.BEFORE_UPGRADE, to=folder, keep=places.KEEP)
        except Refusal as refusal:
            raise Refusal(
                f"before this release changes your records it makes a copy of them, and could not: {refusal}. "
                "To start without one: HARVESTLOG_COPIES=0"
            ) from None


def read_settings() -> None:
    """Raises Refusal for what the environment says wrongly."""
    try:
        _ = settings.DATABASES
    except (sqlite.TooOld, ValueError) as error:
        raise Refusal(str(error)) from None


def _not_usable(error: DatabaseError) -> Exception:
    """A refusal where the owner of the database can help; the error itself where the fault is ours."""
    said = str(error).strip()
    if "permission denied" in said or "must be owner" in said:
        database = settings.DATABASES["default"]
        name, user = database["NAME"], database["USER"]
        return Refusal(
            f"{user} may not make tables in the database {name}. "
            f'As its administrator: ALTER DATABASE "{name}" OWNER TO "{user}"'
        )
    if "invalid connection option" in said:
        return Refusal(f"HARVESTLOG_DATABASE_URL has an option that PostgreSQL does not know: {said}")
    return error


def _setup_code() -> str | None:
    from harvestlog.accounts.actions import console_setup_code  # models need django.setup() first

    return console_setup_code()


def keep_folder(folder: Path) -> None:
    """Makes the folder for this account alone. One that is there already keeps its rights."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)


def keep_key(file: Path) -> str:
    """The secret key in that file, made first if there is none. A file of ours has mode 0600 afterwards.

    One that belongs to somebody else (a Docker secret, a credential of systemd) keeps the rights it was given.
    """
    if not (file.exists() and file.read_text().strip()):
        _write_key(file)
    elif file.stat().st_uid == os.geteuid():
        _narrow(file)
    return file.read_text().strip()


def _narrow(file: Path) -> None:
    try:
        file.chmod(0o600)
    except OSError as error:
        if error.errno != errno.EROFS:  # secrets are often mounted read-only
            raise


def _write_key(file: Path) -> None:
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    write_whole(file, secrets.token_urlsafe(48) + "\n")
