"""The phone's table of kinds and the server's are one table."""

import re
from pathlib import Path
from typing import Any, get_args

import pytest

from harvestlog.blocks.forms import BASIS_NEEDS, BlockForm, HappeningForm
from harvestlog.harvests.forms import PickForm
from harvestlog.keeping.forms import (
    DryingForm,
    ExtractForm,
    ExtractStepForm,
    JarForm,
    TakingForm,
)
from harvestlog.photos.forms import PhotoForm
from harvestlog.sync.kinds import KINDS

TYPES = (Path(__file__).parents[2] / "static" / "src" / "records" / "types.ts").read_text()


def interface(name: str) -> dict[str, str]:
    """Field names and types of an interface in types.ts."""
    body = re.search(rf"export interface {name} \{{(.*?)\n\}}", TYPES, re.S)
    assert body, f"types.ts has no interface {name}"
    return dict(re.findall(r"^  (\w+): ([^;]+);", body[1], re.M))


def listed(name: str) -> list[str]:
    """The texts of a constant list in types.ts."""
    body = re.search(rf"export const {name} = \[(.*?)\] as const", TYPES, re.S)
    assert body, f"types.ts has no list {name}"
    return re.findall(r'"(\w*)"', body[1])


def test_both_sides_know_the_same_kinds() -> None:
    assert set(listed("KINDS")) == set(KINDS)
    assert set(interface("FieldsOf")) == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_has_the_same_fields_on_both_sides(kind: str) -> None:
    assert set(interface(interface("FieldsOf")[kind])) == set(KINDS[kind].fields)


@pytest.mark.parametrize("kind", KINDS)
def test_what_may_be_empty_is_the_same_on_both_sides(kind: str) -> None:
    phone = {name for name, type_ in interface(interface("FieldsOf")[kind]).items() if "null" in type_}
    server = {
        name
        for name, field in KINDS[kind].form.model_fields.items()
        if type(None) in get_args(field.annotation)
    }
    assert phone == server


@pytest.mark.parametrize(
    ("form", "field", "constant"),
    [
        (BlockForm, "form", "FORMS"),
        (BlockForm, "dry_basis", "DRY_BASES"),
        (HappeningForm, "what", "HAPPENINGS"),
        (HappeningForm, "contamination", "CONTAMINATIONS"),
        (PickForm, "handling", "HANDLINGS"),
        (PhotoForm, "stage", "STAGES"),
        (DryingForm, "method", "METHODS"),
        (JarForm, "cut", "CUTS"),
        (JarForm, "container", "CONTAINERS"),
        (TakingForm, "use", "USES"),
        (ExtractForm, "mushroom", "MUSHROOMS"),
        (ExtractStepForm, "what", "STEPS"),
    ],
)
def test_a_choice_offers_the_same_on_both_sides(form: Any, field: str, constant: str) -> None:
    assert list(get_args(form.model_fields[field].annotation)) == listed(constant)


def test_no_choice_was_forgotten_above() -> None:
    compared = {"FORMS", "DRY_BASES", "HAPPENINGS", "CONTAMINATIONS", "HANDLINGS", "STAGES"}
    compared |= {"METHODS", "CUTS", "CONTAINERS", "USES", "MUSHROOMS", "STEPS"}
    assert set(re.findall(r"^export const (\w+) = \[", TYPES, re.M)) == compared | {"KINDS"}


@pytest.mark.parametrize("kind", ["supplier", "variety", "place", "delivery", "block"])
def test_what_a_farm_bought_is_its_owners_to_write(kind: str) -> None:
    assert KINDS[kind].writers == {"owner"}


@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"supplier", "variety", "place", "delivery", "block"}))
def test_what_is_done_in_the_shed_pickers_write_too(kind: str) -> None:
    assert KINDS[kind].writers == {"owner", "picker"}


@pytest.mark.parametrize("basis", BASIS_NEEDS)
def test_every_dry_basis_says_what_it_takes(basis: str) -> None:
    assert basis in listed("DRY_BASES")


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.name)
def test_a_kinds_model_keeps_every_field_of_its_form(kind: Any) -> None:
    columns = {field.name for field in kind.model._meta.fields}
    assert kind.fields <= columns


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_fields_belong_together_on_both_sides(kind: str) -> None:
    body = re.search(r"export const TOGETHER = \{(.*?)\n\} as const", TYPES, re.S)
    assert body, "types.ts has no TOGETHER"
    theirs = re.search(rf"^  {kind}: (\[.*?\]),\n(?=  \w|\Z)", body[1] + "\n", re.S | re.M)
    groups = re.findall(r"\[([^\[\]]+)\]", theirs[1]) if theirs else []
    phone = {frozenset(re.findall(r'"(\w+)"', group)) for group in groups}
    assert phone == set(KINDS[kind].together)
