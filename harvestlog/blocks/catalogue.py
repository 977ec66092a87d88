"""What is said of the 14 species of the trade: ranges to show beside a grower's own, never to alarm on.

The words and numbers stand in catalogue.json, which the phone carries too.
"""

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

Kind = Literal["published", "common practice", "memory"]


@dataclass(frozen=True)
class Fact:
    """One saying: the words always, the ends of the range where they parse honestly, and how far to trust it."""

    text: str
    low: float | None
    high: float | None
    unit: str  # "" where the words carry it
    kind: Kind
    source: str | None  # of published facts only; the others have none

    @property
    def trust(self) -> str:
        """How far to trust it, in words to show beside it."""
        match self.kind:
            case "published":
                return self.source or ""
            case "common practice":
                return "common practice, no source"
            case "memory":
                return "from memory"


@dataclass(frozen=True)
class Species:
    key: str
    latin: str
    remark: str
    synonyms: tuple[str, ...]
    trade_names: tuple[str, ...]
    facts: dict[str, tuple[Fact, ...]]


@dataclass(frozen=True)
class Catalogue:
    """Species by key, and `all_species`: what holds for every one of them."""

    species: dict[str, Species]
    all_species: dict[str, tuple[Fact, ...]]


@cache
def load_catalogue() -> Catalogue:
    """The catalogue, read once."""
    raw = json.loads(Path(__file__).with_name("catalogue.json").read_text(encoding="utf-8"))
    units, sources = raw["units"], raw["sources"]
    return Catalogue(
        species={
            key: Species(
                key=key,
                latin=each["latin"],
                remark=each["remark"],
                synonyms=tuple(each["synonyms"]),
                trade_names=tuple(each["trade_names"]),
                facts=_facts(each["facts"], units, sources),
            )
            for key, each in raw["species"].items()
        },
        all_species=_facts(raw["all"], units, sources),
    )


def _facts(
    raw: dict[str, list[list[Any]]], units: dict[str, str], sources: dict[str, str]
) -> dict[str, tuple[Fact, ...]]:
    return {
        name: tuple(
            Fact(text, low, high, units.get(name, ""), kind, "; ".join(sources[key] for key in keys) or None)
            for text, low, high, kind, *keys in rows
        )
        for name, rows in raw.items()
    }
