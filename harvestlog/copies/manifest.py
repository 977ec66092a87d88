"""manifest.json: what a copy holds, sealed by a hash of its own, so that no byte of a copy can change unnoticed."""

import hashlib
import json
import re
from datetime import datetime
from pathlib import Path, PurePosixPath
from typing import Any
from uuid import UUID

from pydantic import BaseModel, ConfigDict, ValidationError

from harvestlog.refusal import Refusal

FORMAT = 2
NAME = "manifest.json"
# The first field of all, so that whose copy it is can be read without the rest: for 100,000 pictures that is 23 MB.
_SERVER = re.compile(r'"server": "([0-9a-f-]{36})"')
_HEAD_BYTES = 256
DATABASES = {"sqlite": "harvestlog.sqlite3", "postgresql": "harvestlog.pgdump"}


class BadCopy(Refusal):
    """A copy that must not be put in place; the sentence says what is wrong with it."""


class Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class FileFacts(Part):
    sha256: str
    size: int


class FarmFacts(Part):
    seq: int
    epoch: UUID
    records: int


class Facts(Part):
    """What a database says of itself."""

    migrations: list[str]
    # Their ids stand in what a restore tells PostgreSQL, so nothing else may be one.
    farms: dict[UUID, FarmFacts]
    rows: dict[str, int]  # by table


class Manifest(Part):
    server: UUID | None = None  # whose data folder it was made from; format 1 did not say
    format: int
    app: str
    why: str
    made: datetime
    verified: datetime | None  # None only while the copy is being made
    database: str
    facts: Facts
    files: dict[str, FileFacts]  # by path within the copy
    lost: list[str]  # photos that were missing or damaged on the server itself when the copy was made

    @property
    def size(self) -> int:
        return sum(file.size for file in self.files.values())

    @property
    def records(self) -> int:
        return sum(farm.records for farm in self.facts.farms.values())

    @property
    def pictures(self) -> int:
        return len(self.files) - 1  # all but the database


def write(copy: Path, manifest: Manifest) -> None:
    said = manifest.model_dump(mode="json")
    (copy / NAME).write_text(json.dumps({"seal": _seal(said), "manifest": said}, indent=1) + "\n")


def server_of(copy: Path) -> UUID | None:
    """Whose copy it says it is, from the first line or two; None where it does not say, or cannot be read."""
    try:
        with (copy / NAME).open("rb") as file:
            found = _SERVER.search(file.read(_HEAD_BYTES).decode(errors="replace"))
        return UUID(found[1]) if found else None
    except (OSError, ValueError):
        return None


def read(copy: Path) -> Manifest:
    """Raises BadCopy for what is no copy of ours, one of a newer format, or one that was changed since."""
    said = _said(copy)
    try:
        manifest = Manifest.model_validate_json(json.dumps(said))
    except ValidationError:
        raise BadCopy(f"{copy / NAME} cannot be read as a manifest. Choose another copy") from None
    wanted = DATABASES.get(manifest.database)
    if wanted not in manifest.files or not all(map(_lies_within, manifest.files)):
        raise BadCopy(f"{copy / NAME} names files that belong to no copy. Choose another copy")
    return manifest


def _said(copy: Path) -> dict[str, Any]:
    if not copy.exists():
        raise BadCopy(f"there is nothing at {copy}. Name the folder that harvestlog backup made")
    if not (copy / NAME).is_file():
        raise BadCopy(
            f"{copy} is no copy that harvestlog backup made: it has no {NAME}. A bare copy of a database file "
            "may lack what was written last, so it is not put in place"
        )
    try:
        sealed = json.loads((copy / NAME).read_text())
        said: dict[str, Any] = sealed["manifest"]
        form = int(said["format"])
    except (ValueError, KeyError, TypeError):
        raise BadCopy(f"{copy / NAME} is damaged or cut off. Choose another copy") from None
    if form > FORMAT:
        app = said.get("app")
        raise BadCopy(
            f"{copy} was made by a newer harvestlog ({app}). Bring this one up to date, then try again"
        )
    if sealed.get("seal") != _seal(said):
        raise BadCopy(f"{copy / NAME} was changed after the copy was made. Choose another copy")
    return said


def _seal(said: dict[str, Any]) -> str:
    return hashlib.sha256(json.dumps(said, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def _lies_within(name: str) -> bool:
    path = PurePosixPath(name)
    known = name in DATABASES.values() or path.parts[:1] == ("photos",)
    return known and not path.is_absolute() and ".." not in path.parts and str(path) == name
