"""Since when each picture has been without anything that names it: a list beside the pictures."""

import json
from datetime import datetime
from pathlib import Path

from harvestlog.whole_file import write_whole

_NAME = ".unnamed.json"


def read(top: Path) -> dict[str, datetime]:
    """By name. One that cannot be read is none: every wait then begins anew, which costs only room."""
    try:
        said = json.loads((top / _NAME).read_text())
        since = {str(name): datetime.fromisoformat(day) for name, day in said.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}
    return since if all(day.tzinfo for day in since.values()) else {}


def write(top: Path, since: dict[str, datetime]) -> None:
    if not since:
        (top / _NAME).unlink(missing_ok=True)
        return
    write_whole(top / _NAME, json.dumps({name: day.isoformat() for name, day in since.items()}, indent=0))
