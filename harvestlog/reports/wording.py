"""How reports write figures, days, counts and names, so that readers of any language take them the same way."""

import re
from collections.abc import Callable
from datetime import date
from typing import Any

NO_BREAK = "\u00a0"
# Turn the text around them: inside somebody's name they would turn ours. Marks that only say which way a letter runs stay.
_TURNERS = re.compile("[\u202a-\u202e\u2066-\u2069]")
_MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]


def day_words(day: date, *, short: bool = False) -> str:
    """4 May 2026: the same to every reader, whichever way round they write the numbers."""
    return f"{_day_and_month(day, short)} {day.year}"


def period_words(since: date, until: date, *, short: bool = False) -> str:
    """Both days, with month and year said once where they are the same."""
    last = day_words(until, short=short)
    if since == until:
        return last
    if since.year != until.year:
        return f"{day_words(since, short=short)} to {last}"
    if since.month != until.month:
        return f"{_day_and_month(since, short)} to {last}"
    return f"{since.day} to {last}"


def _day_and_month(day: date, short: bool) -> str:
    month = _MONTHS[day.month - 1]
    return f"{day.day} {month[:3] if short else month}"


def some(n: int, noun: str, plural: str = "") -> str:
    """1 block, 2 blocks."""
    return f"{n} {noun}" if n == 1 else f"{n} {plural or noun + 's'}"


def number(value: float, decimals: int = 0) -> str:
    """Rounded, without trailing zeros and without separators, which readers of other languages take for a point."""
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text.replace("-", "\u2212")


def span(low: float, high: float, decimals: int = 0) -> str:
    """One number where both ends read the same."""
    return ends(number(low, decimals), number(high, decimals))


def percent(value: float) -> str:
    """One decimal always: the figures stand under each other."""
    return f"{value:.1f}"


def ends(low: str, high: str) -> str:
    return low if low == high else f"{low}{NO_BREAK}to{NO_BREAK}{high}"


def grams(value: float) -> str:
    """Whole grams from 100 g on; below that a tenth counts."""
    return f"{number(value, 0 if value >= 100 else 1)} g"


def straight(text: str) -> str:
    """A name without the characters that would turn the words around it."""
    return _TURNERS.sub("", text)


def each_text(told: Any, change: Callable[[str], str]) -> Any:
    """The same lists and dictionaries with every text in them changed; keys stay."""
    match told:
        case str():
            return change(told)
        case dict():
            return {key: each_text(value, change) for key, value in told.items()}
        case list() | tuple():
            return [each_text(value, change) for value in told]
    return told
