"""Reads a copy back and holds it against its manifest."""

from pathlib import Path

from django.db import connection

from harvestlog.copies import manifest, postgresql_copy, sqlite_copy
from harvestlog.copies.manifest import DATABASES, BadCopy, Manifest
from harvestlog.copies.photos import hash_of

VENDORS = {"sqlite": "SQLite", "postgresql": "PostgreSQL"}


def check(copy: Path) -> Manifest:
    """The manifest of a copy that is whole. Raises BadCopy with what is wrong; changes nothing."""
    said = manifest.read(copy)
    if said.database != connection.vendor:
        raise BadCopy(
            f"{copy} is a copy of {VENDORS[said.database]}, and this server uses {VENDORS[connection.vendor]}. "
            "See HARVESTLOG_DATABASE_URL"
        )
    for name, file in said.files.items():
        path = copy / name
        if not path.is_file():
            raise BadCopy(f"{name} is missing from {copy}. Choose another copy")
        size = path.stat().st_size
        if size != file.size:
            raise BadCopy(f"{name} has {size} bytes instead of {file.size} in {copy}. Choose another copy")
        if hash_of(path) != file.sha256:
            raise BadCopy(f"{name} was changed after {copy} was made. Choose another copy")
    _check_database(copy, said)
    return said


def _check_database(copy: Path, said: Manifest) -> None:
    file = copy / DATABASES[said.database]
    if said.database == "postgresql":
        postgresql_copy.check(file)
        return
    found, rows = sqlite_copy.check(file)
    if found != said.facts:
        raise BadCopy(f"{file} does not hold what its manifest says. Choose another copy")
    for row in rows:
        if row.name not in said.lost and f"photos/{row.name}" not in said.files:
            raise BadCopy(f"the picture {row.name} is missing from {copy}. Choose another copy")
