"""What is acceptable as a pick. Whether it is likely for its block is asked on the phone, where the scale stands."""

from math import isclose
from typing import Annotated, Literal, Self, get_args

from pydantic import Field, model_validator

from harvestlog.accounts.wire import Id, Instant, Line, Note, Strict
from harvestlog.blocks.masses import Mass, Unit, parse_mass

HEAVIEST_PICK_G = 100_000
LAST_FLUSH = 20
Grams = Annotated[float, Field(gt=0, le=HEAVIEST_PICK_G)]


class PickForm(Strict):
    block: Id
    flush: Annotated[int, Field(ge=1, le=LAST_FLUSH)]
    at: Instant
    wet_g: Grams
    typed: Annotated[Line, Field(max_length=40)] = ""
    handling: Literal["whole", "trimmed"] = "whole"
    scale_step_g: Annotated[float, Field(gt=0, le=1000)] | None = None
    pieces: Annotated[int, Field(ge=1, le=100_000)] | None = None
    dry_g: Grams | None = None
    dry_typed: Annotated[Line, Field(max_length=40)] = ""
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
        _agree(self.typed, self.wet_g)
        if self.dry_g is not None:
            _agree(self.dry_typed, self.dry_g)
        return self


def _agree(typed: str, grams: float) -> None:
    """The grams must be a reading of what was typed: two computations of one weighing.

    The unit may have stood on the phone's switch and not in the text, so any unit may make it right.
    """
    readings = (
        [mass for unit in get_args(Unit) if isinstance(mass := parse_mass(typed, unit), Mass)]
        if typed
        else []
    )
    if readings and not any(isclose(mass.grams, grams, rel_tol=1e-6, abs_tol=0.002) for mass in readings):
        raise ValueError(f"{typed!r} is {readings[0].grams:g} g, not {grams:g} g: weigh or type it again")
