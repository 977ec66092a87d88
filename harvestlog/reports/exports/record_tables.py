"""Every kind of record a farm has, as a table: its columns, what they mean and in which unit."""

import json
import re
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any, TypeAlias

from django.apps import apps
from django.db import models

from harvestlog.accounts.access import Member
from harvestlog.accounts.records import FarmRecord
from harvestlog.reports.queries import standing
from harvestlog.reports.tables import Cell, Column, Table, Type

# Rows read at a time: enough to be quick, little enough to be forgotten.
ROWS_AT_ONCE = 500
# What a name ends in says its unit, throughout harvestlog.
UNITS = {"g": "g", "c": "°C", "pct": "%", "ml": "ml", "ppm": "ppm", "days": "days", "minutes": "min"}
UNITS |= {"width": "pixels", "height": "pixels"}
Field: TypeAlias = "models.Field[Any, Any]"
TYPES: Sequence[tuple[type[Field], Type]] = [
    (models.BooleanField, "boolean"),
    (models.DateTimeField, "datetime"),  # before DateField, which it is a kind of
    (models.DateField, "date"),
    (models.IntegerField, "integer"),
    (models.FloatField, "number"),
    (models.DecimalField, "number"),
]


def record_tables(member: Member) -> list[Table]:
    """One table for each kind, in the order a crop lives. A new kind is among them by being a FarmRecord."""
    return [_table(model, member) for model in kinds().values()]


def kinds() -> dict[str, type[FarmRecord]]:
    """The models of all kinds by their name on the wire, as in drying_part."""
    found = [model for model in apps.get_models() if issubclass(model, FarmRecord)]
    return {re.sub(r"(?<=[a-z])(?=[A-Z])", "_", model.__name__).lower(): model for model in found}


def own_fields(model: type[FarmRecord]) -> list[Field]:
    """The fields that this kind has and not every record."""
    shared = {field.name for field in FarmRecord._meta.get_fields()} | {"id"}
    return [field for field in model._meta.concrete_fields if field.name not in shared]


def _table(model: type[FarmRecord], member: Member) -> Table:
    kind = next(name for name, each in kinds().items() if each is model)
    fields = own_fields(model)
    who = [Column(name, "string", _words()[""][name]) for name in ("id", "author", "author_name")]
    names = ["uuid", "author_id", "author__name", *(field.name for field in fields)]
    return Table(
        name=kind,
        title=_words()[kind][""],
        columns=[*who, *(_column(kind, field) for field in fields)],
        rows=_rows(model, member, names),
        key=["id"],
    )


def _rows(model: type[FarmRecord], member: Member, names: list[str]) -> Iterator[tuple[Cell, ...]]:
    rows = standing(model, member).order_by("seq").values_list(*names)
    yield from rows.iterator(chunk_size=ROWS_AT_ONCE)


def _column(kind: str, field: Field) -> Column:
    type_: Type = next((name for model, name in TYPES if isinstance(field, model)), "string")
    words = _words()[kind].get(field.name) or _words()[""][field.name]
    return Column(field.name, type_, words, UNITS.get(field.name.rsplit("_", 1)[-1], ""))


@cache
def _words() -> dict[str, dict[str, str]]:
    """Descriptions by kind and field; under "" of a kind its title, and of the kind "" what all kinds share."""
    told: dict[str, dict[str, str]] = json.loads(
        Path(__file__).with_name("record_columns.json").read_text(encoding="utf-8")
    )
    return told
