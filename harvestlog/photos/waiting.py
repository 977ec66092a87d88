"""Since when each picture has been without anything that names it: a list beside the pictures."""

import json
import os
import tempfile
from datetime import datetime
from pathlib import Path

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
    handle, temporary = tempfile.mkstemp(dir=top, prefix=f"{_NAME}-")
    try:
        with os.fdopen(handle, "w") as file:
            json.dump({name: day.isoformat() for name, day in since.items()}, file, indent=0)
        Path(temporary).replace(top / _NAME)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
