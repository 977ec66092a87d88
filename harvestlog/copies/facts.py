"""Reads what a database holds without Django's models: it may be of an older release than this one."""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple
from uuid import UUID

from harvestlog.copies.manifest import Facts, FarmFacts

Ask = Callable[[str], list[tuple[Any, ...]]]
Columns = Mapping[str, set[str]]  # of each table
RECORD = {"farm_id", "uuid", "seq", "deleted"}  # what makes a table one of a farm's kinds of record


class PhotoRow(NamedTuple):
    """A picture that the database vouches for: its path under photos/, its hash and size as it lies on the disk."""

    name: str
    sha256: str
    size: int


def facts_of(ask: Ask, columns: Columns) -> Facts:
    # Names come from the database's own catalogue.
    rows = {table: int(ask(f'SELECT count(*) FROM "{table}"')[0][0]) for table in sorted(columns)}  # noqa: S608
    migrations = ask("SELECT app, name FROM django_migrations ORDER BY app, name")
    records = _records(ask, columns)
    farms = {
        UUID(str(farm)): FarmFacts(seq=seq, epoch=UUID(str(epoch)), records=records.get(str(farm), 0))
        for farm, seq, epoch in ask("SELECT id, seq, epoch FROM accounts_farm")
    }
    return Facts(migrations=[f"{app}.{name}" for app, name in migrations], farms=farms, rows=rows)


def _records(ask: Ask, columns: Columns) -> dict[str, int]:
    counts: dict[str, int] = {}
    for table, names in columns.items():
        if names >= RECORD:
            query = f'SELECT farm_id, count(*) FROM "{table}" WHERE NOT deleted GROUP BY farm_id'  # noqa: S608
            for farm, count in ask(query):
                counts[str(farm)] = counts.get(str(farm), 0) + count
    return counts


def photo_rows(ask: Ask) -> list[PhotoRow]:
    return [
        PhotoRow(*row) for row in ask("SELECT name, kept_sha256, size FROM photos_photofile ORDER BY name")
    ]
