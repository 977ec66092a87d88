"""The server's database read and disturbed from outside, on SQLite and PostgreSQL, without the program's own code."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from tests.copies.sites import URL, Site

DATABASE = "PostgreSQL" if URL else "SQLite"
# Every kind of record and the table it lies in.
KINDS = {
    "supplier": "blocks_supplier", "variety": "blocks_variety", "place": "blocks_place",
    "delivery": "blocks_delivery", "block": "blocks_block", "happening": "blocks_happening",
    "pick": "harvests_pick", "photo": "photos_photo", "reading": "keeping_reading", "drying": "keeping_drying",
    "drying_part": "keeping_dryingpart", "drying_weighing": "keeping_dryingweighing", "jar": "keeping_jar",
    "taking": "keeping_taking", "trial": "keeping_trial", "trial_weighing": "keeping_trialweighing",
    "extract": "keeping_extract", "extract_step": "keeping_extractstep",
}  # fmt: skip


@contextmanager
def connected(site: Site) -> Iterator[Any]:
    """A connection in autocommit; placeholders are written ? for both."""
    if URL:
        import psycopg

        with psycopg.connect(site.more["HARVESTLOG_DATABASE_URL"], autocommit=True) as base:
            yield base
        return
    import sqlite3

    file = sqlite3.connect(site.database, timeout=20, isolation_level=None, check_same_thread=False)
    try:
        yield file
    finally:
        file.close()


def run(base: Any, query: str, *values: object) -> Any:
    if URL:
        return base.execute(query.replace("?", "%s").encode(), [_given(value) for value in values])
    return base.execute(query, [_given(value) for value in values])


def ask(site: Site, query: str, *values: object) -> list[tuple[Any, ...]]:
    with connected(site) as base:
        found: list[tuple[Any, ...]] = run(base, query, *values).fetchall()
        return found


def order(site: Site, query: str, *values: object) -> None:
    with connected(site) as base:
        run(base, query, *values)


def _given(value: object) -> object:
    if isinstance(value, UUID) and not URL:
        return value.hex
    if isinstance(value, datetime) and not URL:
        return value.astimezone(UTC).strftime("%Y-%m-%d %H:%M:%S.%f")
    return value


def id_of(value: Any) -> str:
    return str(value if isinstance(value, UUID) else UUID(value))


def json_of(value: Any) -> Any:
    return json.loads(value) if isinstance(value, str) else value


def moment_of(value: Any) -> str:
    """RFC 3339."""
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    return datetime.fromisoformat(value).replace(tzinfo=UTC).isoformat()


@contextmanager
def writers_held(site: Site, table: str) -> Iterator[None]:
    """Whoever wants to write to that table (on SQLite: to any) waits until this ends."""
    with connected(site) as base:
        run(base, "BEGIN" if URL else "BEGIN IMMEDIATE")
        if URL:
            run(base, f"LOCK TABLE {table} IN SHARE MODE")
        try:
            yield
        finally:
            run(base, "ROLLBACK")
