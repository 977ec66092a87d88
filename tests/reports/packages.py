"""Exports as their reader meets them: fetched by an owner, opened by what the descriptor says."""

import csv
import io
import json
import zipfile
from collections.abc import Callable
from typing import Any

from tests.cast import Actor

Json = dict[str, Any]


def exported(actor: Actor, form: str) -> bytes:
    answer = actor.phone.get(f"/api/reports/records.{form}")
    assert answer.status_code == 200, getattr(answer, "content", answer)
    return b"".join(answer.streaming_content)  # type: ignore[attr-defined]


def unzipped(actor: Actor) -> tuple[Json, dict[str, str]]:
    """The descriptor, and the text of each CSV by its path."""
    with zipfile.ZipFile(io.BytesIO(exported(actor, "zip"))) as archive:
        assert archive.testzip() is None
        files = {name: archive.read(name).decode("utf-8") for name in archive.namelist()}
    return json.loads(files.pop("datapackage.json")), files


def read_back(descriptor: Json, files: dict[str, str]) -> dict[str, list[Json]]:
    """The rows as a reader gets them who knows nothing but the descriptor."""
    return {
        resource["name"]: [
            {
                field["name"]: value_of(field["type"], cell)
                for field, cell in zip(resource["schema"]["fields"], row, strict=True)
            }
            for row in list(csv.reader(io.StringIO(files[resource["path"]], newline="")))[1:]
        ]
        for resource in descriptor["resources"]
    }


def value_of(type_: str, cell: str) -> Any:
    if type_ == "string":
        return cell.removeprefix("'")
    if cell == "":
        return None
    read: dict[str, Callable[[str], Any]] = {"number": float, "integer": int, "boolean": json.loads}
    return read.get(type_, str)(cell)


def in_json(actor: Actor) -> dict[str, list[Json]]:
    told = json.loads(exported(actor, "json"))
    return {resource["name"]: resource["data"] for resource in told["resources"]}
