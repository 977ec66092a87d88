"""Which letters the report's typefaces have: a PDF that promises to be readable may hold no other."""

import unicodedata
from bisect import bisect_right
from functools import cache
from pathlib import Path

STAND_IN = "?"
_COVERAGE = Path(__file__).with_name("fonts") / "coverage.txt"


class Letters:
    """Makes texts printable and remembers what could not be printed."""

    def __init__(self) -> None:
        self.missing: dict[str, None] = {}

    def printable(self, text: str) -> str:
        """The text with a question mark for every letter that the typefaces lack.

        Marks of direction and other invisible characters are left out: the typesetter finds the direction itself.
        """
        plain = unicodedata.normalize("NFC", text)
        return "".join(self._letter(char) for char in plain if unicodedata.category(char) != "Cf")

    def said(self) -> str:
        """A sentence on what is missing, "" where nothing is."""
        if not self.missing:
            return ""
        codes = ", ".join(f"U+{ord(char):04X}" for char in self.missing)
        return (
            f"This document's typefaces lack some letters, which stand as {STAND_IN} ({codes}). "
            "The web page and the tables of this report have them."
        )

    def _letter(self, char: str) -> str:
        if has(char) or char == "\n":
            return char
        self.missing.setdefault(char)
        return STAND_IN


def has(char: str) -> bool:
    starts, ends = _spans()
    n = bisect_right(starts, ord(char)) - 1
    return n >= 0 and ord(char) <= ends[n]


@cache
def _spans() -> tuple[list[int], list[int]]:
    """The first and the last code of each run of letters, from the file that was written beside the typefaces."""
    runs = [line.split("-") for line in _COVERAGE.read_text(encoding="ascii").split()]
    return [int(run[0], 16) for run in runs], [int(run[-1], 16) for run in runs]
