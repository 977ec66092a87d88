"""Figures and trade words as a yield report writes them."""

import re
from collections.abc import Callable
from typing import Any

STAGES = {
    "before_pins": "before pins",
    "knots": "knots",
    "pins": "pins",
    "young": "young",
    "ready": "ready to pick",
    "picked": "picked",
    "trouble": "trouble",
}
CONTAMINATIONS = {
    "": "kind not noted",
    "green_mould": "green mould",
    "cobweb": "cobweb mould",
    "black_mould": "black mould",
    "bacterial": "bacterial",
    "insects": "insects",
    "other": "other",
}
STATES = {
    "resting": "resting",
    "soaking": "in water",
    "pinning": "pinning",
    "fruiting": "fruiting",
    "spent": "spent",
    "discarded": "discarded",
}
HANDLINGS = {"whole": "whole", "trimmed": "trimmed", "mixed": "partly whole, partly trimmed"}
NO_BREAK = "\u00a0"
# Turn the text around them: inside somebody's name they would turn ours. Marks that only say which way a letter runs stay.
_TURNERS = re.compile("[\u202a-\u202e\u2066-\u2069]")


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
