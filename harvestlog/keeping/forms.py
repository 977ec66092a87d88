"""What is acceptable of drying, jars, soaking trials and extracts: whatever is possible.

What is merely unlikely is asked back on the phone, while it can still be put right; what needs other records to judge,
such as taking more than a jar holds, is never refused here.
"""

from typing import Annotated, ClassVar, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from harvestlog.accounts.wire import Day, Id, Instant, Line, Name, Note, Strict
from harvestlog.blocks.forms import Typed, agree
from harvestlog.harvests.forms import LIGHTEST_G, ScaleStep

HEAVIEST_G = 1_000_000  # a tonne: beyond any dryer this is for
LEAST_ML, MOST_ML = 0.001, 1_000_000
LONGEST_DAYS = 1000
Method = Literal["freeze", "warm_air", "room_air"]
Grams = Annotated[float, Field(ge=LIGHTEST_G, le=HEAVIEST_G)]
Millilitres = Annotated[float, Field(ge=LEAST_ML, le=MOST_ML)]
Share = Annotated[float, Field(ge=0, le=100)]
Water = Annotated[float, Field(ge=0, lt=100)]  # what is all water is no mushroom
Days = Annotated[int, Field(ge=0, le=LONGEST_DAYS)]


def _strength(pct: float) -> float:
    if pct > 100:
        proof = f"; if the label says proof, give half of it, {pct / 2:g}" if pct <= 200 else ""
        raise ValueError(f"is above 100 % by volume{proof}")
    return pct


Strength = Annotated[float, Field(ge=0), AfterValidator(_strength)]


def _upwards(what: str, low: float | None, high: float | None, unit: str) -> None:
    if low is not None and high is not None and low > high:
        raise ValueError(f"the {what} {low:g} to {high:g} {unit} runs downwards: swap the two")


class Weighed(Strict):
    """A record of one weighing; `mass` names the field with its grams, and the one with what was typed for them."""

    mass: ClassVar[tuple[str, str]]

    @model_validator(mode="after")
    def is_as_typed(self) -> Self:
        grams, typed = self.mass
        agree(getattr(self, typed), getattr(self, grams))
        return self


class ReadingForm(Strict):
    place: Id
    at: Instant
    temp_c: Annotated[float, Field(ge=-60, le=80)] | None = None
    rh_pct: Share | None = None
    co2_ppm: Annotated[float, Field(ge=0, le=100_000)] | None = None
    note: Note = ""


class DryingForm(Weighed):
    mass = "dry_g", "dry_typed"

    method: Method
    started: Instant
    ended: Instant | None = None
    temp_c: Annotated[float, Field(ge=-60, le=120)] | None = None  # from a freeze-dryer's shelf to an oven
    scale_step_g: ScaleStep | None = None
    dry_g: Grams | None = None
    dry_typed: Typed = ""
    note: Note = ""

    @model_validator(mode="after")
    def ends_after_it_begins(self) -> Self:
        if self.ended is not None and self.ended < self.started:
            raise ValueError(
                f"it was taken out on {self.ended:%Y-%m-%d at %H:%M} UTC, before it was put in on"
                f" {self.started:%Y-%m-%d at %H:%M}: check the two times"
            )
        return self


class DryingPartForm(Weighed):
    mass = "wet_g", "typed"

    drying: Id
    pick: Id | None = None
    variety: Id | None = None
    wet_g: Grams
    typed: Typed = ""
    note: Note = ""


class DryingWeighingForm(Weighed):
    mass = "mass_g", "typed"

    drying: Id
    at: Instant
    mass_g: Grams
    typed: Typed = ""
    cooled: bool = False


class JarForm(Weighed):
    mass = "dry_g", "dry_typed"

    label: Annotated[Name, Field(max_length=20)]
    what: Annotated[Line, Field(max_length=80)] = ""
    variety: Id | None = None
    drying: Id | None = None
    cut: Literal["whole", "sliced", "crushed", "powder"] = "whole"
    dry_g: Grams
    dry_typed: Typed = ""
    packed: Day
    container: Literal["jar", "bag", "tin"] = "jar"
    container_ml: Millilitres | None = None
    absorber_ml: Annotated[float, Field(ge=0, le=MOST_ML)] | None = None
    place: Id | None = None
    best_before: Day | None = None
    note: Note = ""


class TakingForm(Weighed):
    mass = "mass_g", "typed"

    jar: Id
    at: Instant
    mass_g: Grams
    typed: Typed = ""
    use: Literal["kitchen", "trial", "extract", "sold", "given", "thrown_out", "other"] = "kitchen"
    note: Note = ""


class TrialForm(Weighed):
    mass = "dry_g", "dry_typed"

    jar: Id | None = None
    variety: Id | None = None
    at: Instant
    dry_g: Grams
    dry_typed: Typed = ""
    water_c: Annotated[float, Field(ge=0, le=100)] | None = None
    water_ml: Millilitres | None = None
    note: Note = ""


class TrialWeighingForm(Weighed):
    mass = "drained_g", "typed"

    trial: Id
    minutes: Annotated[float, Field(ge=0, le=LONGEST_DAYS * 24 * 60)]
    drained_g: Grams
    typed: Typed = ""


class ExtractForm(Weighed):
    mass = "mass_g", "typed"

    name: Name
    variety: Id | None = None
    jar: Id | None = None
    mushroom: Literal["dried", "fresh"] = "dried"
    mass_g: Grams
    typed: Typed = ""
    fresh_water_low_pct: Water | None = None
    fresh_water_high_pct: Water | None = None
    spirit_ml: Millilitres
    spirit_pct: Strength
    started: Instant
    steep_low_days: Days = 28  # four to six weeks (common practice, no source)
    steep_high_days: Days = 42
    shake_days: Annotated[int, Field(ge=1, le=LONGEST_DAYS)] | None = None
    target_low_pct: Strength = 25.0  # what makers usually bottle at (common practice, no source)
    target_high_pct: Strength = 30.0
    note: Note = ""

    @model_validator(mode="after")
    def ranges_run_upwards(self) -> Self:
        _upwards("water content", self.fresh_water_low_pct, self.fresh_water_high_pct, "%")
        _upwards("steeping", self.steep_low_days, self.steep_high_days, "days")
        _upwards("target strength", self.target_low_pct, self.target_high_pct, "%")
        return self


class ExtractStepForm(Strict):
    extract: Id
    what: Literal["shaken", "strained", "boiled", "joined", "bottled", "note"]
    at: Instant
    volume_ml: Millilitres | None = None
    note: Note = ""
