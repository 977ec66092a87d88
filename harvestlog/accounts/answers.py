"""What the account operations answer."""

from datetime import datetime
from typing import Literal
from uuid import UUID

from ninja import Schema


class Problem(Schema):
    """Every refusal; some carry more beside these two (errors, farms, retry_after)."""

    code: str
    message: str


class FieldProblem(Schema):
    field: str
    reason: str


class Invalid(Problem):
    errors: list[FieldProblem] = []


class SlowDown(Problem):
    retry_after: int


# What any operation may answer besides its own shape.
REFUSALS: dict[int, type[Problem]] = {
    400: Problem,  # cut off half-way
    401: Problem,
    403: Problem,
    404: Problem,
    413: Problem,
    415: Problem,
    422: Invalid,
    429: SlowDown,
}


class FarmChoice(Schema):
    id: UUID
    name: str


class ChooseFarm(Problem):
    farms: list[FarmChoice] | None = None


class SessionPerson(Schema):
    id: UUID
    name: str
    email: str


class SessionFarm(Schema):
    id: UUID
    name: str
    role: str
    currency: str
    is_demo: bool


class SignedOutSession(Schema):
    signed_in: Literal[False] = False
    first_run: bool
    demo: bool
    version: str


class Session(Schema):
    signed_in: Literal[True] = True
    first_run: bool
    demo: bool
    version: str
    person: SessionPerson
    farm: SessionFarm
    epoch: UUID
    server_time: datetime


class FarmPerson(Schema):
    id: UUID
    name: str
    email: str | None
    role: str
    you: bool


class FarmPhone(Schema):
    device: UUID
    name: str
    person: UUID
    last_seen: datetime
    this: bool


class OpenInvitation(Schema):
    id: UUID
    role: str
    expires: datetime


class OpenPairing(Schema):
    id: UUID
    person: UUID
    expires: datetime


class FarmPage(Schema):
    id: UUID
    name: str
    role: str
    currency: str
    people: list[FarmPerson]
    phones: list[FarmPhone]
    invitations: list[OpenInvitation]
    pairings: list[OpenPairing]


class NewCode(Schema):
    """Of an invitation, a pairing or a new password. The only time the code is seen: afterwards there is nothing but its hash.

    `picture` is the address with the code in it as a QR code, an SVG in a data: address.
    """

    id: UUID
    code: str
    expires: datetime
    picture: str


class PasswordSet(Schema):
    """Whose password it is, to sign in with."""

    email: str
