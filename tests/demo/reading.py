"""fixtures/demo/farm.json as the tests ask about it: records by kind, times, what belongs to a block."""

import json
from collections import defaultdict
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

FIXTURES = Path(__file__).parents[2] / "fixtures"
TOLD = json.loads((FIXTURES / "demo" / "farm.json").read_text(encoding="utf-8"))
OPS: list[dict[str, Any]] = TOLD["ops"]
DAY_ZERO = date.fromisoformat(TOLD["day_zero"])
NOON = datetime(DAY_ZERO.year, DAY_ZERO.month, DAY_ZERO.day, 12, tzinfo=UTC)


def _by_kind() -> dict[str, dict[str, dict[str, Any]]]:
    records: dict[str, dict[str, dict[str, Any]]] = defaultdict(dict)
    for op in OPS:
        records[op["kind"]][op["row"]] = op["fields"]
    return records


RECORDS = _by_kind()


def time(text: str) -> datetime:
    return datetime.fromisoformat(text)


def of_block(kind: str, block: str) -> list[dict[str, Any]]:
    return [fields for fields in RECORDS[kind].values() if fields["block"] == block]


def is_finished(block: str) -> bool:
    return any(fields["what"] in ("spent", "discarded") for fields in of_block("happening", block))


def fresh_g(block: str) -> float:
    return sum((float(fields["wet_g"]) for fields in of_block("pick", block)), 0.0)


def first_day(block: str) -> datetime:
    """When the block was put down as a record: on the day it came."""
    return next(time(op["at"]) for op in OPS if op["row"] == block)


def supplier_of(block: str) -> str | None:
    delivery = RECORDS["block"][block]["delivery"]
    if delivery is None:
        return None
    return str(RECORDS["supplier"][RECORDS["delivery"][delivery]["supplier"]]["name"])


def species_of(block: str) -> str:
    return str(RECORDS["variety"][RECORDS["block"][block]["variety"]]["species"])
