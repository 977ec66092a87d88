"""A small disk that can be filled to the last byte, where this account may mount one."""

import contextlib
import os
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest


@contextlib.contextmanager
def small_disk(folder: Path, megabytes: int) -> Iterator[Path]:
    """A tmpfs. Without the right to mount one the test is skipped, with the reason."""
    folder.mkdir()
    order = ["mount", "-t", "tmpfs", "-o", f"size={megabytes}m", "tmpfs", str(folder)]
    done = subprocess.run(order, capture_output=True, text=True)
    if done.returncode:
        pytest.skip(f"this needs a small disk, and mounting one was refused: {done.stderr.strip()}")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "--lazy", str(folder)], check=True)


def fill(disk: Path, left: int) -> Path:
    """Until only so many bytes are left. Removing what is returned makes room again."""
    ballast = disk / "ballast"
    free = os.statvfs(disk).f_bavail * os.statvfs(disk).f_frsize
    # Others write there too, so that it may be full before it was to be.
    with ballast.open("wb", buffering=0) as file, contextlib.suppress(OSError):
        for _ in range(max(0, free - left) // 4096):
            file.write(bytes(4096))
    return ballast
