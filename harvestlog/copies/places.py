"""Where copies lie, what they are called, and which of them go."""

import os
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID, uuid4

from django.conf import settings

from harvestlog.copies.manifest import server_of
from harvestlog.whole_file import write_whole

DAILY, BY_HAND, BEFORE_UPGRADE = "daily", "by-hand", "before-upgrade"
KEEP = 7
# A copy that is not complete, or was stopped half-way, never has a name without this.
COMING = ".coming-"
_ID = ".copies-id"


def own_folder() -> Path | None:
    """The folder this server keeps its copies in; None when HARVESTLOG_COPIES=0 switched them off."""
    told = os.environ.get("HARVESTLOG_COPIES", "")
    if told == "0":
        return None
    return Path(told).expanduser().absolute() if told else beside_the_records()


def beside_the_records() -> Path:
    return Path(settings.DATA) / "copies"


def on_the_records_disk(folder: Path) -> bool:
    """Whether a broken disk would take these copies with the records; False also for a folder that is not there."""
    try:
        return folder.stat().st_dev == Path(settings.DATA).stat().st_dev
    except OSError:
        return False


def own_id() -> UUID:
    """Tells this data folder's copies from others' in a folder that several servers share. Made once; a copy of the
    whole data folder has the same one."""
    file = Path(settings.DATA) / _ID
    try:
        return UUID(file.read_text().strip())
    except (FileNotFoundError, ValueError):  # none yet, or a power cut left it empty
        return _made(file)


def _made(file: Path) -> UUID:
    made = uuid4()
    write_whole(file, f"{made}\n")
    return made


def is_ours(copy: Path) -> bool:
    """One of a release that did not say whose it is, or that cannot be read, is ours where no other server's lie."""
    server = server_of(copy)
    return server == own_id() if server else copy.parent == beside_the_records()


def name_for(made: datetime, why: str) -> str:
    """Names sort by time."""
    return f"{made.astimezone(UTC):%Y-%m-%d_%H%M%S}_{why}"


def copies_in(folder: Path) -> list[Path]:
    """Complete copies, newest first."""
    if not folder.is_dir():
        return []
    found = [path.parent for path in folder.glob("*/manifest.json") if not path.parent.name.startswith(".")]
    return sorted(found, key=lambda copy: copy.name, reverse=True)


def ours_in(folder: Path) -> Iterator[Path]:
    """This server's own among them, newest first."""
    return filter(is_ours, copies_in(folder))


def clear(folder: Path, *, why: str, keep: int) -> None:
    """Leaves the newest `keep` copies of ours with this reason: seven made by hand must not push out a week's.

    Another server's are never touched.
    """
    alike = [copy for copy in ours_in(folder) if copy.name.endswith(f"_{why}")]
    for copy in alike[keep:]:
        # Its name goes first: a copy that is being removed must not pass for a whole one.
        going = copy.rename(copy.with_name(COMING + copy.name))
        shutil.rmtree(going)


def clear_unfinished(folder: Path) -> None:
    """What a power cut or a full disk left behind. To be called by whoever holds the folder's lock."""
    for half in folder.glob(f"{COMING}*"):
        shutil.rmtree(half, ignore_errors=True)
