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
            self._keep_names(path)
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
        return name

    def _keep_names(self, path: Path) -> None:
        """A file's bytes are on the disk once it is synced, its name only once the folder is, and so up to the top."""
        if os.name != "posix":
            return  # Windows opens no folders
        top = Path(self.location)
        for folder in path.parents:
            handle = os.open(folder, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)
            if folder == top:
                return

    def get_available_name(self, name: str, max_length: int | None = None) -> str:
        """Names are hashes of what they hold, so the same name is the same picture."""
        return name
