"""Masses as people type them: 340 g, 12,5 kg, 1 lb 3.5 oz, 2 lb 1 1/2 oz.

What cannot be read in one way only is asked back rather than guessed. Limits on the size are the caller's.
"""

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Literal, get_args

if TYPE_CHECKING:
    from pint import UnitRegistry

Unit = Literal["g", "kg", "oz", "lb"]
RefusalCode = Literal[
    "empty",
    "too_long",
    "not_a_mass",
    "unknown_unit",
    "unit_missing",
    "negative",
    "zero",
    "two_decimals",
    "ambiguous",
    "wrong_order",
    "asked_back",
]

MOST_CHARACTERS = 40
SPELLINGS: dict[Unit, str] = {
    "g": "g gm gram grams",
    "kg": "kg kgs kilo kilos kilogram kilograms",
    "oz": "oz ounce ounces",
    "lb": "lb lbs pound pounds",
}
WORDS = {word: unit for unit, spellings in SPELLINGS.items() for word in spellings.split()}
# Larger unit first, and how many of the smaller make one of it.
PAIRS: dict[tuple[Unit, Unit], int] = {("lb", "oz"): 16, ("kg", "g"): 1000}
VULGAR = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}

SPACE = re.compile("[ \t\r\n\u00a0\u2009\u202f]+")  # the same in both languages, which \s is not
FRACTION = re.compile(r"(?:([0-9]+) )?([0-9]+)/([0-9]+)")
# A number, then the word that may follow it.
PART = re.compile(r"((?:[0-9]+ )?[0-9]+/[0-9]+|[0-9.,]*[0-9][0-9.,]*) ?([a-z]+\.?)?(?: |$|(?=[0-9]))")
GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:(?:,[0-9]{3})+(?:\.[0-9]+)?|(?:\.[0-9]{3})+(?:,[0-9]+)?)")
EITHER_WAY = re.compile(r"([1-9][0-9]{0,2})([.,])([0-9]{3})")
PLAIN = re.compile(r"[0-9]+[.,]?[0-9]*|[.,][0-9]+")


@dataclass(frozen=True)
class Mass:
    """Grams, rounded to 0.001 g, and what was typed."""

    grams: float
    typed: str


@dataclass(frozen=True)
class MassRefusal:
    """Why what was typed is not taken: a code for programs and a sentence for the grower."""

    code: RefusalCode
    sentence: str


class _Refused(Exception):
    def __init__(self, code: RefusalCode, reason: str) -> None:
        super().__init__(reason)
        self.code, self.reason = code, reason


def parse_mass(text: str, unit_hint: Unit) -> Mass | MassRefusal:
    """The mass typed in `text`, in grams; `unit_hint` is the unit of a number that names none.

    Source of the factors: NIST Handbook 44, Appendix C. A refusal is returned, not raised.
    """
    typed = SPACE.sub(" ", text).strip(" ")
    if not typed:
        return MassRefusal("empty", "Type a mass, for example 340 g.")
    if len(typed) > MOST_CHARACTERS:
        return MassRefusal(
            "too_long", f'"{typed[:MOST_CHARACTERS]}…" is too long for a mass: type it like 340 g.'
        )
    try:
        return Mass(_grams(_parts(_tidy(typed)), unit_hint), text)
    except _Refused as refused:
        return MassRefusal(refused.code, f'"{typed}"{refused.reason}')


def _tidy(typed: str) -> str:
    """Lower case, with vulgar fractions spelt out."""
    tidy = typed.lower().replace("\u2044", "/")
    for sign, spelt in VULGAR.items():
        tidy = tidy.replace(sign, f" {spelt}")
    return re.sub(" +", " ", tidy).strip(" ")


def _parts(tidy: str) -> list[tuple[str, str]]:
    """Numbers with the word behind each ("" where none is), from the whole of the text or not at all."""
    if tidy[0] in "-\u2212\u2013":
        raise _Refused("negative", " is below zero: type the mass without a minus.")
    parts, at = [], 0
    while at < len(tidy):
        match = PART.match(tidy, at)
        if match is None:
            raise _no_mass()
        parts.append((match[1], (match[2] or "").removesuffix(".")))
        at = match.end()
    return parts


def _grams(parts: list[tuple[str, str]], unit_hint: Unit) -> float:
    if len(parts) == 1:
        ((digits, word),) = parts
        unit = _unit(word) if word else unit_hint
        grams = _in_grams(_value(digits, unit), unit)
    elif len(parts) == 2:
        grams = _pair(*parts)
    else:
        raise _no_mass()
    rounded = math.floor(grams * 1000 + 0.5) / 1000
    if rounded == 0:
        raise _Refused("zero", " is nothing: type what the scale shows, or leave the record out.")
    return rounded


def _pair(first: tuple[str, str], second: tuple[str, str]) -> float:
    (large, large_word), (small, small_word) = first, second
    if not large_word:
        raise _no_mass()
    large_unit = _unit(large_word)
    if not small_word:
        raise _Refused("unit_missing", " ends in a number with no unit: add it, for example oz or g.")
    units = large_unit, _unit(small_word)
    if units not in PAIRS:
        raise _Refused("wrong_order", ": use one unit, or pounds and then ounces, for example 1 lb 3.5 oz.")
    if not large.isdecimal():
        raise _Refused("asked_back", f": write whole {units[0]} before {units[1]}, or {units[0]} alone.")
    value, most = _value(small, units[1]), PAIRS[units]
    if value >= most:
        raise _Refused("asked_back", f": {most} {units[1]} make 1 {units[0]} more. Is the {units[0]} right?")
    return _in_grams(float(large), units[0]) + _in_grams(value, units[1])


def _value(digits: str, unit: Unit) -> float:
    if fraction := FRACTION.fullmatch(digits):
        return _fraction(fraction)
    either = EITHER_WAY.fullmatch(digits)
    # Scales show 1.250 kg, and nobody weighs 1250 kg at once; a comma, or grams, may mean either.
    if either and (either[2] == "," or unit == "g"):
        small = f"{either[1]}.{either[3]}".rstrip("0").removesuffix(".")
        raise _Refused("ambiguous", f": is that {small} or {either[1]}{either[3]}? Type it so.")
    if GROUPED.fullmatch(digits) and not either:
        marks = re.sub("[0-9]", "", digits)
        return float(digits.replace(marks[0], "").replace(marks[-1], "."))
    if not PLAIN.fullmatch(digits):
        raise _Refused("two_decimals", " has more than one decimal mark: type it like 12.5.")
    return float(digits.replace(",", "."))


def _fraction(fraction: re.Match[str]) -> float:
    whole, above, below = (int(part or 0) for part in fraction.groups())
    if below == 0:
        raise _no_mass()
    # "11/2" is as likely a one and a half without its space as five and a half.
    if above >= below:
        raise _Refused("ambiguous", f": type {above}/{below} as a decimal, or with a space as in 1 1/2.")
    return whole + above / below


def _unit(word: str) -> Unit:
    if word not in WORDS:
        raise _Refused("unknown_unit", f": the unit {word} is not known here; use g, kg, oz or lb.")
    return WORDS[word]


def _no_mass() -> _Refused:
    return _Refused("not_a_mass", " is no mass: type a number and a unit, for example 340 g or 1 lb 3.5 oz.")


@cache
def _units() -> "UnitRegistry[float]":
    """Only the four units, with their legal factors in sight: NIST Handbook 44, Appendix C."""
    from pint import UnitRegistry  # a sixth of a second, numpy included, which starting up need not wait for

    registry: UnitRegistry[float] = UnitRegistry(None)
    registry.load_definitions(
        ["g = [mass]", "kg = 1000 g", "lb = 453.59237 g", "oz = 28.349523125 g"],
    )
    return registry


def _in_grams(value: float, unit: Unit) -> float:
    return float(_units().Quantity(value, unit).to("g").magnitude)


def format_mass(grams: float, unit: Unit) -> str:
    """The mass for showing, for example 340 g, 1.25 kg, 12.0 oz or 1 lb 3.5 oz."""
    return " ".join(f"{digits} {word}" for digits, word in mass_parts(grams, unit))


def mass_parts(grams: float, unit: Unit) -> list[tuple[str, Unit]]:
    """Digits and unit apart, so that the unit can be set smaller.

    Grams are whole from 10 g up, with one decimal below; kilograms have two decimals and start at 1000 g; ounces
    have one; pounds are whole with ounces behind. Halves round up. Raises ValueError for a unit that is none.
    """
    if unit not in get_args(Unit):
        raise ValueError(f"{unit!r} is no unit of mass: use g, kg, oz or lb.")
    if unit == "kg" and grams >= 1000:
        return [(_decimals(grams / 1000, 2), "kg")]
    if unit in ("g", "kg"):
        return [(_decimals(grams, 0 if _scaled(grams, 1) >= 100 else 1), "g")]
    tenths = _scaled(grams / _in_grams(1, "oz"), 1)
    if unit == "oz" or tenths < 160:
        return [(f"{tenths // 10}.{tenths % 10}", "oz")]
    pounds, tenths = divmod(tenths, 160)
    return [(str(pounds), "lb"), (f"{tenths // 10}.{tenths % 10}", "oz")]


def _scaled(value: float, places: int) -> int:
    return math.floor(value * (1, 10, 100)[places] + 0.5)


def _decimals(value: float, places: int) -> str:
    # In whole numbers, because the two languages round halves of decimals differently.
    whole, rest = divmod(_scaled(value, places), (1, 10, 100)[places])
    return f"{whole}.{rest:0{places}}" if places else str(whole)
