"""Who may touch a data folder at the same time: servers and copies share it, a restore needs it alone.

flock: gone with its process, however that ends. Windows has none; there only the question before a restore guards.
"""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from harvestlog.refusal import Refusal

if sys.platform != "win32":
    import fcntl

IN_USE, MAKING = ".in-use", ".making"
RESTORING = "a copy is being put back just now. Wait until that is done"
_held: dict[Path, int] = {}


class Busy(Refusal):
    """Somebody else is at it."""


def hold(data: Path) -> None:
    """Marks the data folder as in use until this process ends. Raises Busy during a restore."""
    if data not in _held:
        _held[data] = _locked(data / IN_USE, shared=True, otherwise=RESTORING)


@contextmanager
def sharing(data: Path) -> Iterator[None]:
    with _lock(data / IN_USE, shared=True, otherwise=RESTORING):
        yield


@contextmanager
def alone(data: Path) -> Iterator[None]:
    """Raises Busy while a server runs on this folder or a copy of it is being made."""
    otherwise = f"a server is running on {data}, or a copy of it is being made. Stop the server first"
    with _lock(data / IN_USE, shared=False, otherwise=otherwise):
        yield


@contextmanager
def making(folder: Path) -> Iterator[None]:
    """One copy at a time in a folder."""
    with _lock(
        folder / MAKING, shared=False, otherwise="another copy is being made just now. Try again later"
    ):
        yield


@contextmanager
def _lock(file: Path, *, shared: bool, otherwise: str) -> Iterator[None]:
    handle = _locked(file, shared=shared, otherwise=otherwise)
    try:
        yield
    finally:
        os.close(handle)  # which lets go of the lock


def _locked(file: Path, *, shared: bool, otherwise: str) -> int:
    handle = os.open(file, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        if sys.platform != "win32":
            fcntl.flock(handle, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(handle)
        raise Busy(otherwise) from None
    return handle
