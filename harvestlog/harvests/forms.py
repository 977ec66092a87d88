"""What is acceptable as a pick. Whether it is likely for its block is asked on the phone, where the scale stands."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from harvestlog.accounts.wire import Id, Instant, Note, Strict
from harvestlog.blocks.forms import Typed, agree

HEAVIEST_PICK_G = 100_000
LAST_FLUSH = 20
Grams = Annotated[float, Field(gt=0, le=HEAVIEST_PICK_G)]


class PickForm(Strict):
    block: Id
    flush: Annotated[int, Field(ge=1, le=LAST_FLUSH)]
    at: Instant
    wet_g: Grams
    typed: Typed = ""
    handling: Literal["whole", "trimmed"] = "whole"
    scale_step_g: Annotated[float, Field(gt=0, le=1000)] | None = None
    pieces: Annotated[int, Field(ge=1, le=100_000)] | None = None
    dry_g: Grams | None = None
    dry_typed: Typed = ""
    note: Note = ""

    @model_validator(mode="after")
    def dries_down(self) -> Self:
        if self.dry_g is not None and self.dry_g > self.wet_g:
            raise ValueError(
                f"dried {self.dry_g:g} g is above the {self.wet_g:g} g picked: check both weights"
            )
        return self

    @model_validator(mode="after")
    def grams_are_what_was_typed(self) -> Self:
        agree(self.typed, self.wet_g)
        agree(self.dry_typed, self.dry_g)
        return self
