"""Finds Chromium for the browser tests; run as a program, it makes sure that there is one."""

import shutil
import sys

from tests.setup import apt

NAMES = ("chromium", "chromium-browser", "google-chrome")


def executable() -> str:
    """The path of Chromium, installed by apt first when root and absent. Raises apt.Missing."""
    found = _found()
    if found is None:
        apt.install("chromium", "the browser tests need Chromium")
        found = _found()
    if found is None:
        raise apt.Missing(f"no {', '.join(NAMES)} on PATH, although the package is installed")
    return found


def _found() -> str | None:
    return next(filter(None, map(shutil.which, NAMES)), None)


if __name__ == "__main__":
    try:
        executable()
    except apt.Missing as missing:
        sys.exit(str(missing))
