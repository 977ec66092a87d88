"""Label codes of blocks: four characters at will and a fifth that finds a slip.

The characters are those that wet hands do not mix up: no 0, O, 1 or I. Each stands for its place in ALPHABET, 0 to
31, an element of the field GF(32) with x^5 + x^2 + 1. The fifth is the sum of the first four, weighted with 2, 4, 8
and 16, so every single wrong character and every swap of two unequal neighbours is found.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

ALPHABET = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
LENGTH = 5
BETWEEN = re.compile("[ \t\r\n\u00a0\u2010\u2011\u2013-]")  # spaces and dashes people put into a code
REDUCTION = 0b100101  # x^5 + x^2 + 1, primitive: the powers of 2 run through all 31 non-zero elements


@dataclass(frozen=True)
class LabelRefusal:
    """Why a text is no label: a code for programs and a sentence for the grower."""

    code: Literal["length", "character", "check"]
    sentence: str


def make_label(values: Sequence[int]) -> str:
    """The label of four values from 0 to 31; draw them at random. Raises ValueError for any others."""
    if len(values) != LENGTH - 1 or not all(0 <= value < len(ALPHABET) for value in values):
        raise ValueError(f"{list(values)} makes no label: give four numbers from 0 to 31.")
    return "".join(ALPHABET[value] for value in (*values, _check(values)))


def is_label(text: str) -> bool:
    """Whether a text is a label exactly as kept: five upper-case characters, the last one right."""
    return read_label(text) == text


def read_label(text: str) -> str | LabelRefusal:
    """The label a person typed: spaces and dashes dropped, upper case; or why it is none."""
    code = BETWEEN.sub("", text.upper())
    shown = code if len(code) <= 12 else f"{code[:12]}…"
    if len(code) != LENGTH:
        return LabelRefusal("length", f'"{shown}" is no label: a label has 5 characters.')
    if unknown := [character for character in code if character not in ALPHABET]:
        return LabelRefusal(
            "character", f"{shown} is no label: there is no {unknown[0]} in one, and no 0, O, 1 or I at all."
        )
    values = [ALPHABET.index(character) for character in code]
    if _check(values[:-1]) != values[-1]:
        return LabelRefusal("check", f"{shown} is no label: one character is off. Compare it with the block.")
    return code


def _check(values: Sequence[int]) -> int:
    check = 0
    for place, value in enumerate(values):
        for _ in range(place + 1):
            value = _double(value)
        check ^= value
    return check


def _double(value: int) -> int:
    doubled = value << 1
    return doubled ^ REDUCTION if doubled >= len(ALPHABET) else doubled
