"""Where copies lie, what they are called, and which of them go."""

import os
import shutil
from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings

DAILY, BY_HAND, BEFORE_UPGRADE = "daily", "by-hand", "before-upgrade"
KEEP = 7
# A copy that is not complete, or was stopped half-way, never has a name without this.
COMING = ".coming-"


def own_folder() -> Path | None:
    """The folder this server keeps its copies in; None when HARVESTLOG_COPIES=0 switched them off."""
    told = os.environ.get("HARVESTLOG_COPIES", "")
    if told == "0":
        return None
    return Path(told).expanduser().absolute() if told else settings.DATA / "copies"


def name_for(made: datetime, why: str) -> str:
    """Names sort by time."""
    return f"{made.astimezone(UTC):%Y-%m-%d_%H%M%S}_{why}"


def copies_in(folder: Path) -> list[Path]:
    """Complete copies, newest first."""
    if not folder.is_dir():
        return []
    found = [path.parent for path in folder.glob("*/manifest.json") if not path.parent.name.startswith(".")]
    return sorted(found, key=lambda copy: copy.name, reverse=True)


def clear(folder: Path, *, why: str, keep: int) -> None:
    """Leaves the newest `keep` copies of this reason: seven made by hand in an hour must not push out a week's."""
    alike = [copy for copy in copies_in(folder) if copy.name.endswith(f"_{why}")]
    for copy in alike[keep:]:
        # Its name goes first: a copy that is being removed must not pass for a whole one.
        going = copy.rename(copy.with_name(COMING + copy.name))
        shutil.rmtree(going)


def clear_unfinished(folder: Path) -> None:
    """What a power cut or a full disk left behind. To be called by whoever holds the folder's lock."""
    for half in folder.glob(f"{COMING}*"):
        shutil.rmtree(half, ignore_errors=True)
