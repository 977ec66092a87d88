"""What is acceptable as a photo's record."""

from typing import Annotated, Literal

from pydantic import Field

from harvestlog.accounts.wire import Id, Instant, Note, Sha256, Strict

LONGEST_SIDE = 1600
Side = Annotated[int, Field(ge=1, le=LONGEST_SIDE)]


class PhotoForm(Strict):
    block: Id
    flush: Annotated[int, Field(ge=1, le=20)] | None = None
    pick: Id | None = None
    stage: Literal["before_pins", "knots", "pins", "young", "ready", "picked", "trouble"]
    taken: Instant
    sha256: Sha256
    thumb_sha256: Sha256
    width: Side
    height: Side
    note: Note = ""
