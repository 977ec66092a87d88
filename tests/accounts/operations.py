"""Every operation of the API, read from its own description: a new one is in the matrices at once."""

import re
from typing import NamedTuple
from uuid import UUID

from harvestlog.api import api

SAFE = {"get", "head", "options"}
ANY_ID = UUID("0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1b")
ANY_SHA256 = "0" * 64


class Operation(NamedTuple):
    method: str
    path: str
    guarded: bool
    takes_json: bool = False

    def __str__(self) -> str:
        return f"{self.method} {self.path}"

    def url(self, **ids: object) -> str:
        """The path with `ids` filled in, and a well-formed id of nothing wherever none is given."""

        def fill(found: re.Match[str]) -> str:
            name = found[1]
            return str(ids.get(name, ANY_SHA256 if name == "sha256" else ANY_ID))

        return re.sub(r"{(\w+)}", fill, self.path)


def every_operation() -> list[Operation]:
    paths = api.get_openapi_schema()["paths"]
    return [
        Operation(
            method.upper(),
            path,
            bool(said.get("security")),
            "application/json" in said.get("requestBody", {}).get("content", {}),
        )
        for path, methods in paths.items()
        for method, said in methods.items()
    ]


def unsafe_operations() -> list[Operation]:
    return [operation for operation in every_operation() if operation.method.lower() not in SAFE]
