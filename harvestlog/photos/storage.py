"""Where pictures lie when they lie on this machine's own disk."""

import os
import tempfile
from pathlib import Path

from django.core.files import File
from django.core.files.storage import FileSystemStorage


class PhotoFolder(FileSystemStorage):
    """A file appears under its name whole or not at all: the server may lose power at any byte."""

    def _save(self, name: str, content: File) -> str:  # type: ignore[type-arg]  # Django names no type here
        path = Path(self.path(name))
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".coming-")
        try:
            with os.fdopen(handle, "wb") as file:
                for chunk in content.chunks():
                    file.write(chunk)
                file.flush()
                os.fsync(file.fileno())
            Path(temporary).replace(path)
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
        return name

    def get_available_name(self, name: str, max_length: int | None = None) -> str:
        """Names are hashes of what they hold, so the same name is the same picture."""
        return name
