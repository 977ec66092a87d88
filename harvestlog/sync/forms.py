"""The shape of a push and of its answer."""

from typing import Annotated, Any, Literal

from ninja import Schema
from pydantic import Field

from harvestlog.accounts.wire import Id, Instant, Line, Strict

MOST_OPS = 100
MOST_ROWS = 1000
LAST_SEQ = 2**53 - 1  # the largest whole number a phone's JavaScript keeps exactly

CHAIN = r"^([0-9a-f]{64})?$"

Scalar = str | int | float | bool | None  # no record has a field that is itself a list or an object


class Operation(Strict):
    id: Id
    verb: Literal["add", "patch", "delete", "restore"]
    kind: Annotated[str, Field(max_length=20)]
    row: Id
    base: Annotated[int, Field(ge=0, le=LAST_SEQ)]
    at: Instant
    fields: dict[str, Scalar]


class Push(Strict):
    epoch: Id
    device: Id
    app_version: Annotated[Line, Field(max_length=40)]
    ops: Annotated[list[Operation], Field(max_length=MOST_OPS)]


class Result(Schema):
    """What became of one operation. Its receipt gives the same answer for ever."""

    id: Id
    status: Literal["applied", "rejected", "retry"]
    seq: int | None = None
    code: str | None = None
    message: str | None = None
    field: str | None = None
    lost_fields: list[str] = []


class Pushed(Schema):
    epoch: Id
    server_time: Instant
    results: list[Result]
    reset: bool = False
    head: int = 0
    chain: str = ""  # hash of the history up to `head`: what the phone sends back with its next request


class PulledRow(Schema):
    kind: str
    id: Id
    seq: int
    deleted: bool
    author: Id | None
    fields: dict[str, Any]


class OutvotedTold(Schema):
    """What this phone wrote, was told to stand, and was then replaced (`seq`) by somebody who had not seen it."""

    kind: str
    row: Id
    seq: int
    at: Instant
    fields: dict[str, Any]


class Pulled(Schema):
    epoch: Id
    rows: list[PulledRow] = []
    outvoted: list[OutvotedTold] = []
    upto: int = 0
    more: bool = False
    head: int = 0
    chain: str = ""
    reset: bool = False
