"""Which letters a PDF's typefaces have: one that promises to be readable may hold no other."""

import unicodedata
from bisect import bisect_right
from functools import cache
from pathlib import Path
from typing import Any

from harvestlog.reports.paper.typesetter import letters_here
from harvestlog.reports.wording import each_text

STAND_IN = "?"
_COVERAGE = Path(__file__).with_name("fonts") / "coverage.txt"


class Letters:
    """Makes texts printable and remembers what could not be printed.

    `borrowed`: letters that our typefaces lack and the machine's have.
    """

    def __init__(self, borrowed: frozenset[str] = frozenset()) -> None:
        self.borrowed = borrowed
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
        if has(char) or char == "\n" or char in self.borrowed:
            return char
        self.missing.setdefault(char)
        return STAND_IN


def printable(told: dict[str, Any]) -> tuple[dict[str, Any], Letters]:
    """What is told in letters that can be printed here. The machine's typefaces are looked at only where ours lack some."""
    letters = Letters()
    plain = each_text(told, letters.printable)
    if letters.missing:
        # Sorted, a script whose letters lie together is settled in few trials.
        letters = Letters(letters_here("".join(sorted(letters.missing))))
        plain = each_text(told, letters.printable)
    return plain, letters


def has(char: str) -> bool:
    """Whether our own typefaces have the letter, regular and bold."""
    starts, ends = _spans()
    n = bisect_right(starts, ord(char)) - 1
    return n >= 0 and ord(char) <= ends[n]


@cache
def _spans() -> tuple[list[int], list[int]]:
    """The first and the last code of each run of letters, from the file that was written beside the typefaces."""
    runs = [line.split("-") for line in _COVERAGE.read_text(encoding="ascii").split()]
    return [int(run[0], 16) for run in runs], [int(run[-1], 16) for run in runs]
