"""Sets a template and what is told it as a PDF: tagged (PDF/UA-1), typefaces inside, the same bytes whenever it is set again.

Our own typefaces have Latin, Greek and Cyrillic letters. For others the machine's may stand in, where it has any: only such
a file is another on another machine.
"""

import json
import subprocess
import sys
from datetime import datetime
from pathlib import Path
from threading import BoundedSemaphore
from typing import Any, Literal

from harvestlog.accounts.refusals import Refused

FONTS = Path(__file__).with_name("fonts")
PRESS = Path(__file__).with_name("press.py")
LONGEST_S = (
    60  # 240 labels take 2 s, a report of 500 blocks 1 s (measured); a small machine is five times as slow
)
# One at a time: a report of 60 blocks takes 0.1 s, but 500 take 0.8 s and 120 MB (measured), which a small server has once.
_desk = BoundedSemaphore(1)
# At it or waiting: the server has four threads, and links to reports are asked for by anybody who was sent one.
_places = BoundedSemaphore(2)


def typeset(
    template: Path,
    told: dict[str, str],
    made: datetime,
    *,
    folder: str,
    machine_fonts: bool = False,
    form: Literal["pdf", "png"] = "pdf",
) -> bytes:
    """A template with what is told it: one PDF, or the picture of its one page. Raises Refused (503) when too much is asked at once.

    folder: all that the template may read. machine_fonts: whether letters that ours lack come from the machine's typefaces.
    """
    return _in_turn(
        {
            "source": template.read_text(encoding="utf-8"),
            "root": folder,
            "machine_fonts": machine_fonts,
            "format": form,
            "sys_inputs": told,
            "pdf_standards": ["ua-1"] if form == "pdf" else [],
            "timestamp": int(made.timestamp()),
        }
    )


def letters_here(letters: str) -> frozenset[str]:
    """Those of the letters that a typeface of this machine has. Raises Refused (503) as typesetting does."""
    return frozenset(_in_turn({"letters": letters, "machine_fonts": True}).decode())


def _in_turn(job: dict[str, Any]) -> bytes:
    if not _places.acquire(blocking=False):
        raise _too_busy()
    try:
        with _desk:
            return _pressed(json.dumps(job | {"fonts": str(FONTS)}).encode())
    finally:
        _places.release()


def _pressed(job: bytes) -> bytes:
    try:
        done = subprocess.run(  # noqa: S603 - our own program, and no shell
            [sys.executable, str(PRESS)], input=job, capture_output=True, timeout=LONGEST_S
        )
    except subprocess.TimeoutExpired:
        raise _too_busy() from None
    if done.returncode:
        raise RuntimeError(f"the typesetter ended with {done.returncode}: {done.stderr.decode()[-2000:]}")
    return done.stdout


def _too_busy() -> Refused:
    words = "The server has too much to do to make this file now. Try again in a minute."
    return Refused(503, "busy", words, retry_after=LONGEST_S)
