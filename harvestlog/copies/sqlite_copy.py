"""A copy of an SQLite database: by its backup API, so it is one moment's, whatever is being written meanwhile."""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from django.db import connection

from harvestlog.copies.facts import Ask, Columns, PhotoRow, facts_of, photo_rows
from harvestlog.copies.manifest import BadCopy, Facts

PATIENCE_S = 20
END_SIGN_INS = ("DELETE FROM django_session", "UPDATE accounts_phone SET session_hash = ''")


def take(database: Path, to: Path) -> None:
    """Raises sqlite3.Error when the disk fails."""
    with closing(_open(database, "mode=rw")) as live, closing(_library().connect(to)) as copy:
        live.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")  # one file that needs none beside it
        copy.execute("PRAGMA secure_delete=ON")  # or what is deleted now would still stand in the file
        with copy:
            for order in END_SIGN_INS:
                copy.execute(order)


def check(file: Path) -> tuple[Facts, list[PhotoRow]]:
    """What the file holds, once SQLite has found no fault in it. Raises BadCopy."""
    try:
        with _reading(file) as ask:
            faults = [row[0] for row in ask("PRAGMA integrity_check")]
            strays = ask("PRAGMA foreign_key_check")
            if faults != ["ok"] or strays:
                raise BadCopy(f"{file} is a damaged database: {faults[0] if faults != ['ok'] else strays[0]}")
            return facts_of(ask, _columns(ask)), photo_rows(ask)
    except _library().Error as error:
        raise BadCopy(f"{file} cannot be read as a database: {error}. Choose another copy") from None


@contextmanager
def _reading(file: Path) -> Iterator[Ask]:
    with closing(_open(file, "mode=ro&immutable=1")) as base:
        yield lambda query: base.execute(query).fetchall()


def _open(file: Path, how: str) -> Any:
    return _library().connect(f"{file.absolute().as_uri()}?{how}", uri=True, timeout=PATIENCE_S)


def _library() -> Any:
    """The sqlite3 that harvestlog.sqlite has chosen. Not imported: this file may be read before it has."""
    return connection.Database  # type: ignore[attr-defined]  # every backend has it


def _columns(ask: Ask) -> Columns:
    columns: dict[str, set[str]] = {}
    for table, column in ask(
        "SELECT t.name, c.name FROM sqlite_master t, pragma_table_info(t.name) c "
        "WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite_%'"
    ):
        columns.setdefault(table, set()).add(column)
    return columns
