"""Tables as files: CSV beside a descriptor that says what each column means, together in one zip.

    harvest = Table(
        name="picks",
        title="Picks",
        columns=(Column("picked", "date", "The day it was picked."), Column("wet_g", "number", "As weighed.", "g")),
        rows=[(date(2026, 5, 3), 412.0)],
    )
    with open("farm.zip", "wb") as file:
        write_zip(file, Package(name="farm", title="Alder Yard", description="…", made=now), [harvest])

Rows may be a generator: nothing but the row at hand is kept. A cell is None, text, a number, a Decimal, a bool, a
date, an aware datetime or a UUID, as its column says. The same tables at the same `made` give the same bytes.
The descriptor is a Frictionless Data Package, version 1, with Table Schema; `unit` is a property of our own, which
the standard allows. `write_json` puts the rows into the descriptor itself.
The CSV follows RFC 4180: CRLF, quotes doubled. `guarded` keeps text from being read as a formula.
"""

import csv
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from io import TextIOWrapper
from typing import IO, Any, Literal
from uuid import UUID
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from harvestlog.accounts.wire import write_instant

Cell = str | int | float | Decimal | bool | date | datetime | UUID | None
Type = Literal["string", "number", "integer", "boolean", "date", "datetime"]

# What a spreadsheet takes for the start of a formula (CWE-1236), full-width forms included; and the guard itself, so
# that taking one apostrophe away always gives the text back.
FORMULA_STARTS = tuple("=+-@\t\r\n＝＋－＠")
GUARD = "'"
RULE = (
    f"Text that begins with one of = + - @ (full-width ones too), a tab, a line break or an apostrophe stands with one "
    f"apostrophe ({GUARD}) before it, so that no spreadsheet runs it as a formula. To undo this, take one "
    "apostrophe away from every cell of a string column that begins with one. Numbers, dates and yes or no are never changed. "
    "An empty cell is an empty text in a string column, and no value in any other."
)


@dataclass(frozen=True)
class Column:
    """`unit` as people write it (g, %, °C, ml), "" where there is none."""

    name: str
    type: Type
    description: str
    unit: str = ""


@dataclass(frozen=True, kw_only=True)
class Table:
    """`name`: lower case letters, digits, - and _; the file is <name>.csv. Each row has a cell for each column."""

    name: str
    title: str
    columns: Sequence[Column]
    rows: Iterable[Sequence[Cell]]
    description: str = ""
    key: Sequence[str] = ()


@dataclass(frozen=True, kw_only=True)
class Package:
    """What the tables are together; `name` as a table's."""

    name: str
    title: str
    description: str
    made: datetime


def write_zip(file: IO[bytes], package: Package, tables: Sequence[Table]) -> None:
    """Writes the descriptor and one CSV for each table. The file is left open, at its end."""
    with ZipFile(file, "w", ZIP_DEFLATED) as archive:
        with archive.open(_entry("datapackage.json", package), "w") as entry:
            entry.write(json.dumps(descriptor(package, tables), ensure_ascii=False, indent=2).encode())
        for table in tables:
            # A farm of years may pass 2 GB, which a zip has to be told before it begins.
            with archive.open(_entry(f"{table.name}.csv", package), "w", force_zip64=True) as entry:
                write_csv(entry, table)


def write_json(file: IO[bytes], package: Package, tables: Sequence[Table]) -> None:
    """The same package as one JSON document: each table's rows stand under `data`, and text as it is, unguarded."""
    head = descriptor(package, tables) | {"description": package.description}
    resources = head.pop("resources")
    file.write(json.dumps(head, ensure_ascii=False).encode()[:-1] + b', "resources": [')
    for n, (table, said) in enumerate(zip(tables, resources, strict=True)):
        for name in ("path", "format", "mediatype", "encoding", "dialect"):
            del said[name]
        file.write(
            (b",\n" if n else b"\n") + json.dumps(said, ensure_ascii=False).encode()[:-1] + b', "data": ['
        )
        for m, row in enumerate(table.rows):
            cells = {column.name: _plain(cell) for column, cell in zip(table.columns, row, strict=True)}
            file.write((b",\n" if m else b"\n") + json.dumps(cells, ensure_ascii=False).encode())
        file.write(b"]}")
    file.write(b"]}\n")


def write_csv(file: IO[bytes], table: Table) -> None:
    """The header and every row, in UTF-8."""
    text = TextIOWrapper(file, encoding="utf-8", newline="")
    lines = csv.writer(text)
    lines.writerow([column.name for column in table.columns])
    lines.writerows([written(cell) for cell in row] for row in table.rows)
    text.detach()


def guarded(text: str) -> str:
    """The text as no spreadsheet takes it for a formula; see RULE."""
    return GUARD + text if text.startswith((*FORMULA_STARTS, GUARD)) else text


def unguarded(text: str) -> str:
    """The text as it was before `guarded`."""
    return text.removeprefix(GUARD)


def descriptor(package: Package, tables: Iterable[Table]) -> dict[str, Any]:
    """The datapackage.json."""
    return {
        "profile": "tabular-data-package",
        "name": package.name,
        "title": package.title,
        "description": f"{package.description} {RULE}".strip(),
        "created": write_instant(package.made),
        "resources": [_resource(table) for table in tables],
    }


def _resource(table: Table) -> dict[str, Any]:
    schema: dict[str, Any] = {"fields": [_field(column) for column in table.columns], "missingValues": [""]}
    if table.key:
        schema["primaryKey"] = list(table.key)
    said = {"description": table.description} if table.description else {}
    return {
        "profile": "tabular-data-resource",
        "name": table.name,
        "title": table.title,
        **said,
        "path": f"{table.name}.csv",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "quoteChar": '"', "doubleQuote": True},
        "schema": schema,
    }


def _field(column: Column) -> dict[str, str]:
    unit = {"unit": column.unit} if column.unit else {}
    return {"name": column.name, "type": column.type, "description": column.description, **unit}


def written(cell: Cell) -> str:
    """The cell as it stands in the CSV, before quoting."""
    match cell:
        case None:
            return ""
        case str():
            return guarded(cell)
        case bool():
            return "true" if cell else "false"
        case datetime():
            return write_instant(cell)
        case date():
            return cell.isoformat()
        case Decimal():
            return f"{cell:f}"
    return str(cell)


def _plain(cell: Cell) -> str | int | float | bool | None:
    """The cell as JSON has it."""
    if isinstance(cell, Decimal):
        return float(cell)
    return cell if cell is None or isinstance(cell, str | int | float) else written(cell)


def _entry(name: str, package: Package) -> ZipInfo:
    made = package.made.astimezone(UTC)
    entry = ZipInfo(name, (made.year, made.month, made.day, made.hour, made.minute, made.second))
    entry.compress_type = ZIP_DEFLATED
    entry.external_attr = 0o644 << 16  # without it, some unpackers write files nobody may read
    return entry
