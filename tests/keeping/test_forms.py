"""What is taken and what is refused of drying, jars, soaking trials and extracts, and in which words."""

import json
from typing import Any
from uuid import uuid4

import pytest
from pydantic import ValidationError

from harvestlog.accounts.wording import first_fault
from harvestlog.sync.kinds import KINDS

AT, LATER = "2026-05-03T07:40:00Z", "2026-05-03T19:10:00Z"
SOME = str(uuid4())
SOUND: dict[str, dict[str, Any]] = {
    "reading": {"place": SOME, "at": AT},
    "drying": {"method": "warm_air", "started": AT},
    "drying_part": {"drying": SOME, "wet_g": 340.0},
    "drying_weighing": {"drying": SOME, "at": AT, "mass_g": 118.0},
    "jar": {"label": "22222", "dry_g": 60.0, "packed": "2026-05-04"},
    "taking": {"jar": SOME, "at": AT, "mass_g": 12.0},
    "trial": {"at": AT, "dry_g": 10.0},
    "trial_weighing": {"trial": SOME, "minutes": 5.0, "drained_g": 31.0},
    "extract": {"name": "Shelf two", "mass_g": 100.0, "spirit_ml": 500.0, "spirit_pct": 95.0, "started": AT},
    "extract_step": {"extract": SOME, "what": "strained", "at": AT},
}


def words(kind: str, **fields: Any) -> str:
    """What is said of these fields on an otherwise sound record; "" when they are taken."""
    try:
        KINDS[kind].form.model_validate_json(json.dumps(SOUND[kind] | fields))
    except ValidationError as error:
        return first_fault(error)[1]
    return ""


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("reading", {"temp_c": -30, "rh_pct": 0, "co2_ppm": 0}),
        ("reading", {"temp_c": 45.5, "rh_pct": 100, "co2_ppm": 100_000}),
        ("drying", {"temp_c": 120}),
        ("drying", {"method": "freeze", "temp_c": -60}),
        ("drying", {"ended": AT}),
        ("drying_part", {"wet_g": 949.709, "typed": "2 lb 1 1/2 oz"}),
        ("drying_part", {"wet_g": 340.0, "typed": "340"}),
        ("jar", {"absorber_ml": 0, "container_ml": 946.4, "best_before": "2027-05-04"}),
        ("trial", {"water_c": 100}),
        ("trial_weighing", {"minutes": 0}),
        ("extract", {"spirit_pct": 100}),
        ("extract", {"steep_low_days": 0, "steep_high_days": 1000}),
        ("extract", {"mushroom": "fresh", "fresh_water_low_pct": 88, "fresh_water_high_pct": 88}),
        ("extract", {"target_low_pct": 30.0, "target_high_pct": 30.0}),
    ],
    ids=str,
)
def test_what_is_possible_is_taken(kind: str, fields: dict[str, Any]) -> None:
    assert words(kind, **fields) == ""


@pytest.mark.parametrize(
    ("kind", "fields", "said"),
    [
        ("reading", {"rh_pct": 101}, "rh_pct 101 must be at most 100.0."),
        ("reading", {"co2_ppm": -1}, "co2_ppm -1 must be at least 0.0."),
        ("reading", {"temp_c": 451}, "temp_c 451 must be at most 80.0."),
        ("drying", {"temp_c": 160}, "temp_c 160 must be at most 120.0."),
        ("drying_weighing", {"mass_g": 0}, "mass_g 0 must be at least 0.001."),
        ("jar", {"label": " "}, "label ' ' is empty: write a name."),
        ("taking", {"mass_g": -5}, "mass_g -5 must be at least 0.001."),
        ("trial", {"water_c": 212}, "water_c 212 must be at most 100.0."),
        ("trial_weighing", {"minutes": -1}, "minutes -1 must be at least 0.0."),
        (
            "extract",
            {"spirit_pct": 190},
            "spirit_pct 190 is above 100 % by volume; if the label says proof, give half of it, 95.",
        ),
        ("extract", {"spirit_pct": 950}, "spirit_pct 950 is above 100 % by volume."),
        ("extract", {"spirit_ml": 0}, "spirit_ml 0 must be at least 0.001."),
        ("extract", {"fresh_water_high_pct": 100}, "fresh_water_high_pct 100 must be less than 100.0."),
        (
            "extract",
            {"fresh_water_low_pct": 92, "fresh_water_high_pct": 88},
            "The water content 92 to 88 % runs downwards: swap the two.",
        ),
        (
            "extract",
            {"steep_low_days": 42, "steep_high_days": 28},
            "The steeping 42 to 28 days runs downwards: swap the two.",
        ),
        (
            "extract",
            {"target_low_pct": 30, "target_high_pct": 25},
            "The target strength 30 to 25 % runs downwards: swap the two.",
        ),
        ("extract_step", {"volume_ml": 0}, "volume_ml 0 must be at least 0.001."),
    ],
    ids=str,
)
def test_what_is_impossible_is_refused_in_words(kind: str, fields: dict[str, Any], said: str) -> None:
    assert words(kind, **fields) == said


def test_a_load_taken_out_before_it_was_put_in_is_refused() -> None:
    assert words("drying", started=LATER, ended=AT) == (
        "It was taken out on 2026-05-03 at 07:40 UTC, before it was put in on 2026-05-03 at 19:10:"
        " check the two times."
    )


@pytest.mark.parametrize(
    ("kind", "grams", "typed"),
    [
        ("drying", "dry_g", "dry_typed"),
        ("drying_part", "wet_g", "typed"),
        ("drying_weighing", "mass_g", "typed"),
        ("jar", "dry_g", "dry_typed"),
        ("taking", "mass_g", "typed"),
        ("trial", "dry_g", "dry_typed"),
        ("trial_weighing", "drained_g", "typed"),
        ("extract", "mass_g", "typed"),
    ],
)
def test_grams_that_are_no_reading_of_what_was_typed_are_refused(kind: str, grams: str, typed: str) -> None:
    assert words(kind, **{grams: 453.592, typed: "1 lb"}) == ""
    assert (
        words(kind, **{grams: 1.0, typed: "1 lb"}) == "'1 lb' is 453.592 g, not 1 g: weigh or type it again."
    )


def test_text_that_is_no_mass_says_nothing_of_the_grams() -> None:
    assert words("taking", mass_g=12.0, typed="a handful") == ""


def test_every_kind_of_keeping_is_told_of_here() -> None:
    models = {name for name, kind in KINDS.items() if kind.model._meta.app_label == "keeping"}
    assert models == set(SOUND)
