"""What is taken and what is refused as a pick, and in which words."""

import json
from typing import Any
from uuid import uuid4

import pytest
from pydantic import ValidationError

from harvestlog.accounts.wording import first_fault
from harvestlog.harvests.forms import LIGHTEST_G, PickForm
from harvestlog.keeping.forms import DryingForm

SOUND = {"block": str(uuid4()), "flush": 1, "at": "2026-05-03T07:40:00Z", "wet_g": 340.0}


def words(**fields: Any) -> str:
    """What is said of these fields on an otherwise sound pick; "" when they are taken."""
    try:
        PickForm.model_validate_json(json.dumps(SOUND | fields))
    except ValidationError as error:
        return first_fault(error)[1]
    return ""


@pytest.mark.parametrize("grams", [1e-300, 0, -5, 0.0009])
@pytest.mark.parametrize("field", ["wet_g", "dry_g"])
def test_a_mass_that_no_scale_shows_is_refused_with_what_to_do(field: str, grams: float) -> None:
    said = "is less than any scale shows: weigh it again, 0.001 g or more."
    assert words(**{field: grams}) == f"{field} {grams} {said}"


def test_the_least_that_a_phone_reads_from_what_is_typed_is_taken() -> None:
    assert words(wet_g=LIGHTEST_G, typed="0.001 g", dry_g=LIGHTEST_G) == ""


@pytest.mark.parametrize("step", [0, 1e-300])
def test_a_scale_that_counts_in_nothing_is_refused(step: float) -> None:
    assert words(scale_step_g=step) == f"scale_step_g {step} must be at least 0.001."
    with pytest.raises(ValidationError):
        DryingForm.model_validate_json(
            json.dumps({"method": "freeze", "started": SOUND["at"], "scale_step_g": step})
        )
