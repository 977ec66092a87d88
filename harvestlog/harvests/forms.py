"""What is acceptable as a pick. Whether it is likely for its block is asked on the phone, where the scale stands."""

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from harvestlog.accounts.wire import Id, Instant, Note, Strict
from harvestlog.blocks.forms import Typed, agree

HEAVIEST_PICK_G = 100_000
LIGHTEST_G = 0.001  # what masses are rounded to where they are typed: a phone reads anything less as nothing
LAST_FLUSH = 20


def _on_a_scale(grams: float) -> float:
    if grams < LIGHTEST_G:
        raise ValueError(f"is less than any scale shows: weigh it again, {LIGHTEST_G:g} g or more")
    return grams


Grams = Annotated[float, AfterValidator(_on_a_scale), Field(le=HEAVIEST_PICK_G)]
ScaleStep = Annotated[float, Field(ge=LIGHTEST_G, le=1000)]


class PickForm(Strict):
    block: Id
    flush: Annotated[int, Field(ge=1, le=LAST_FLUSH)]
    at: Instant
    wet_g: Grams
    typed: Typed = ""
    handling: Literal["whole", "trimmed"] = "whole"
    scale_step_g: ScaleStep | None = None
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
