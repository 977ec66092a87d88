"""A copy of a PostgreSQL database: by pg_dump, at one moment's snapshot."""

import errno
import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.db import connection

from harvestlog.copies.facts import Ask, Columns, PhotoRow, facts_of, photo_rows
from harvestlog.copies.manifest import BadCopy, Facts
from harvestlog.refusal import Refusal

DEBIAN = Path("/usr/lib/postgresql")  # where several versions lie side by side


def take(to: Path) -> tuple[Facts, list[PhotoRow]]:
    """Dumps our schema and counts what the same snapshot holds. Raises Refusal, psycopg.Error."""
    with asking() as ask:
        ask("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        snapshot, schema = ask("SELECT pg_export_snapshot(), current_schema()")[0]
        columns = _columns(ask)
        if "accounts_farm" not in columns:
            raise Refusal("there is nothing to copy: the database holds no farm yet. Start harvestlog first")
        run(
            "pg_dump", "--format=custom", f"--file={to}", f"--snapshot={snapshot}", f'--schema="{schema}"',
            "--no-owner", "--no-privileges", f'--exclude-table-data="{schema}".django_session' , f"--dbname={where()}",
        )  # fmt: skip
        return facts_of(ask, columns), photo_rows(ask)


def check(file: Path) -> None:
    """Reads the dump to its end, as a restore would. Raises BadCopy."""
    try:
        run("pg_restore", "--file=-", str(file))
    except Refusal as refusal:
        raise BadCopy(f"{file} cannot be read to its end: {refusal}") from None


@contextmanager
def asking() -> Iterator[Ask]:
    """A connection of its own, in a transaction: whoever asks may be inside another one of Django's."""
    import psycopg  # only where PostgreSQL is used

    with psycopg.connect(where(), password=password() or None) as base:

        def ask(query: str) -> list[tuple[Any, ...]]:
            cursor = base.execute(query.encode())
            return cursor.fetchall() if cursor.description else []

        yield ask


def run(name: str, *arguments: str) -> None:
    """Runs one of PostgreSQL's own programs. Raises Refusal with its last words, or when it is not here; OSError
    when the disk is full."""
    account = {"PGPASSWORD": password()}
    done = subprocess.run(  # noqa: S603 - our own words, and no shell
        [program(name), *arguments],
        env={**os.environ, **{name: text for name, text in account.items() if text}},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    if "No space left" in done.stderr:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    if done.returncode:
        raise Refusal(f"{name} could not do it: {' '.join(done.stderr.split()) or done.returncode}")


def program(name: str) -> str:
    """The newest one there is: an older pg_dump refuses a newer server."""
    versions = [path for path in DEBIAN.glob(f"*/bin/{name}") if path.parents[1].name.isdigit()]
    found = max(versions, key=lambda path: int(path.parents[1].name), default=shutil.which(name))
    if found is None:
        raise Refusal(
            f"{name} is not on this machine. Install PostgreSQL's client programs; or copy the database by your own "
            "means and switch these copies off with HARVESTLOG_COPIES=0"
        )
    return str(found)


def where() -> str:
    """For libpq, without the password: a command line can be read by everybody on the machine."""
    from psycopg.conninfo import make_conninfo

    told = connection.settings_dict
    parts = {"dbname": "NAME", "user": "USER", "host": "HOST", "port": "PORT"}
    known = {part: str(told[name]) for part, name in parts.items() if told[name]}
    options = {name: text for name, text in told["OPTIONS"].items() if name != "password"}
    return make_conninfo("", **known, **options)


def password() -> str:
    """Before the @ of HARVESTLOG_DATABASE_URL, or among the options after its ?; "" where neither says one."""
    told = connection.settings_dict
    return str(told["PASSWORD"] or told["OPTIONS"].get("password", ""))


def _columns(ask: Ask) -> Columns:
    columns: dict[str, set[str]] = {}
    for table, column in ask(
        "SELECT t.table_name, c.column_name FROM information_schema.tables t "
        "JOIN information_schema.columns c USING (table_schema, table_name) "
        "WHERE t.table_schema = current_schema() AND t.table_type = 'BASE TABLE'"
    ):
        columns.setdefault(table, set()).add(column)
    return columns
