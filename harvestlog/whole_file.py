"""Small files of the server's own that a power cut must not leave half-written."""

import os
import tempfile
from pathlib import Path


def write_whole(file: Path, text: str) -> None:
    """Under its name the file is there whole, with mode 0600, or as it was before."""
    handle, coming = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name.lstrip('.')}-")
    try:
        with os.fdopen(handle, "w") as fresh:
            fresh.write(text)
            fresh.flush()
            os.fsync(fresh.fileno())
        Path(coming).replace(file)
    except BaseException:
        Path(coming).unlink(missing_ok=True)
        raise
