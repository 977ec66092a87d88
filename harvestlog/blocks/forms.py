"""What is acceptable as a supplier, variety, place, delivery, block or happening."""

from decimal import Decimal
from math import isclose
from typing import Annotated, Literal, Self, get_args

from pydantic import AfterValidator, Field, PlainSerializer, model_validator

from harvestlog.accounts.wire import Day, Id, Instant, Line, Name, Note, Strict
from harvestlog.blocks.labels import is_label
from harvestlog.blocks.masses import MOST_CHARACTERS, Mass, Unit, parse_mass

HEAVIEST_BLOCK_G = 1_000_000  # a bed or a log pile may weigh a tonne
Grams = Annotated[float, Field(gt=0, le=HEAVIEST_BLOCK_G)]
Percent = Annotated[float, Field(ge=0, lt=100)]
Celsius = Annotated[float, Field(ge=-30, le=60)]
Typed = Annotated[Line, Field(max_length=MOST_CHARACTERS)]  # a mass as somebody typed it
Price = Annotated[
    Decimal,
    Field(ge=0, max_digits=12, decimal_places=2),
    PlainSerializer(lambda price: f"{price:.2f}", return_type=str, when_used="json"),
]


def _checked(label: str) -> str:
    if not is_label(label):
        raise ValueError("is no label code: one character is off")
    return label


def agree(typed: str, grams: float | None) -> None:
    """The grams must be a reading of what was typed: two computations of one weighing.

    The unit may have stood on the phone's switch and not in the text, so any unit may make it right. Text that is no
    mass, and a mass nobody gave (None), say nothing. Raises ValueError.
    """
    if not typed or grams is None:
        return
    masses = (parse_mass(typed, unit) for unit in get_args(Unit))
    readings = [mass for mass in masses if isinstance(mass, Mass)]
    if readings and not any(isclose(mass.grams, grams, rel_tol=1e-6, abs_tol=0.002) for mass in readings):
        raise ValueError(f"{typed!r} is {readings[0].grams:g} g, not {grams:g} g: weigh or type it again")


class SupplierForm(Strict):
    name: Name
    contact: Annotated[Line, Field(max_length=200)] = ""
    note: Note = ""


class VarietyForm(Strict):
    name: Name
    species: Annotated[str, Field(max_length=60, pattern=r"^[a-z0-9-]*$")] = ""
    strain: Annotated[Line, Field(max_length=40)] = ""
    temp_low_c: Celsius | None = None
    temp_high_c: Celsius | None = None
    note: Note = ""

    @model_validator(mode="after")
    def range_runs_upwards(self) -> Self:
        if None not in (self.temp_low_c, self.temp_high_c) and self.temp_low_c > self.temp_high_c:  # type: ignore[operator]
            raise ValueError(
                f"the temperature range {self.temp_low_c:g} to {self.temp_high_c:g} °C runs downwards: swap the two"
            )
        return self


class PlaceForm(Strict):
    name: Name
    note: Note = ""


class DeliveryForm(Strict):
    supplier: Id
    lot: Annotated[Line, Field(max_length=60)] = ""
    received: Day
    price: Price | None = None
    currency: Annotated[str, Field(pattern=r"^([A-Z]{3})?$")] = ""
    count: Annotated[int, Field(ge=1, le=500)]
    stored_c: Celsius | None = None  # phones older than the question send no answer
    note: Note = ""


# Exactly these are filled in for each way of knowing a block's dry mass; the others stay empty.
BASIS_NEEDS = {
    "none": set(),
    "stated": {"dry_g"},
    "oven": {"dry_g"},
    "measured": {"moisture_pct"},
    "assumed": {"moisture_low_pct", "moisture_high_pct"},
}
BASIS_FIELDS = ("dry_g", "moisture_pct", "moisture_low_pct", "moisture_high_pct")


class BlockForm(Strict):
    label: Annotated[str, AfterValidator(_checked)]
    variety: Id
    delivery: Id | None = None
    form: Literal["bag", "bucket", "log", "bed"] = "bag"
    wet_g: Grams | None = None
    dry_basis: Literal["none", "stated", "oven", "measured", "assumed"] = "none"
    dry_g: Grams | None = None
    moisture_pct: Percent | None = None
    moisture_low_pct: Percent | None = None
    moisture_high_pct: Percent | None = None
    place: Id | None = None
    note: Note = ""

    @model_validator(mode="after")
    def one_dry_basis(self) -> Self:
        given = {name for name in BASIS_FIELDS if getattr(self, name) is not None}
        needed = BASIS_NEEDS[self.dry_basis]
        if given != needed:
            want = " and ".join(sorted(needed)) or "no dry mass and no moisture"
            raise ValueError(f"a dry basis {self.dry_basis!r} takes {want}, not {sorted(given) or 'nothing'}")
        if self.dry_basis in {"measured", "assumed"} and self.wet_g is None:
            raise ValueError(
                "moisture says nothing without the wet mass: weigh the block, or leave moisture out"
            )
        if self.dry_g is not None and self.wet_g is not None and self.dry_g > self.wet_g:
            raise ValueError(
                f"the dry mass {self.dry_g:g} g is above the wet mass {self.wet_g:g} g: check both"
            )
        if self.dry_basis == "assumed" and self.moisture_low_pct > self.moisture_high_pct:  # type: ignore[operator]
            raise ValueError("the moisture range runs downwards: swap the two")
        return self


class HappeningForm(Strict):
    block: Id
    what: Literal[
        "opened",
        "pins_seen",
        "pins_dried",
        "soaked",
        "flush_over",
        "moved",
        "contamination",
        "discarded",
        "spent",
        "note",
    ]
    at: Instant
    until: Instant | None = None
    mass_before_g: Grams | None = None
    mass_after_g: Grams | None = None
    place: Id | None = None
    contamination: Literal["", "green_mould", "cobweb", "black_mould", "bacterial", "insects", "other"] = ""
    note: Note = ""

    @model_validator(mode="after")
    def ends_after_it_begins(self) -> Self:
        if self.until is not None and self.until < self.at:
            raise ValueError("it ends before it begins: check the two times")
        return self
