"""Names as they are read beside each other: two of one name are told apart."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID


@dataclass(frozen=True)
class Named:
    """`more`: what else tells it from others, such as a supplier's contact or a variety's strain."""

    id: UUID
    name: str
    more: str = ""


def told_apart(rows: Iterable[Named]) -> dict[UUID, str]:
    """A name for each id, no two alike in any case of letters: the plain one, else with `more`, else with the id's end."""
    rows = list(rows)
    found: dict[UUID, str] = {}
    plain = Counter(row.name.casefold() for row in rows)
    fuller = Counter(_with(row, row.more).casefold() for row in rows)
    for row in rows:
        if plain[row.name.casefold()] == 1:
            found[row.id] = row.name
        elif row.more and fuller[_with(row, row.more).casefold()] == 1:
            found[row.id] = _with(row, row.more)
        else:
            found[row.id] = _with(row, row.id.hex[-6:])
    return found if _all_unlike(found) else {row.id: _with(row, row.id.hex) for row in rows}


def _with(row: Named, more: str) -> str:
    return f"{row.name} ({more})"


def _all_unlike(found: dict[UUID, str]) -> bool:
    return len({name.casefold() for name in found.values()}) == len(found)
