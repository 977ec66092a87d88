"""The tables of an export: every field with its words and unit, safe in a spreadsheet, readable back without loss."""

import csv
import io
import json

import pytest

from harvestlog.sync.kinds import KINDS
from tests.cast import Cast
from tests.reports.packages import exported, in_json, read_back, unzipped
from tests.reports.yard import Yard, a_bit_of_everything

SPREADSHEET_TRAPS = [
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "\n=1",
    "＝1",
    "'quoted'",
    "''twice",
    "'=1",
    'say "hi", then',
    "a\nb;=1",
    "æøå 🍄",
    "",
]


@pytest.fixture
def yard(cast: Cast) -> Yard:
    return Yard(cast.owner)


def test_every_kind_of_record_has_a_table_with_all_its_fields(cast: Cast) -> None:
    """Whatever phones may send, the owner can take home."""
    descriptor, files = unzipped(cast.owner)
    assert set(files) == {f"{kind}.csv" for kind in KINDS}
    for resource in descriptor["resources"]:
        names = {field["name"] for field in resource["schema"]["fields"]}
        assert names == KINDS[resource["name"]].fields | {"id", "author", "author_name"}
        assert files[resource["path"]].splitlines()[0].split(",") == [
            field["name"] for field in resource["schema"]["fields"]
        ]


@pytest.mark.parametrize("kind", KINDS)
def test_every_column_says_what_it_is(cast: Cast, kind: str) -> None:
    told = json.loads(exported(cast.owner, "json"))
    (resource,) = [each for each in told["resources"] if each["name"] == kind]
    assert all(field["description"].endswith(".") for field in resource["schema"]["fields"])
    assert resource["title"]


@pytest.mark.parametrize(
    ("ending", "unit"),
    [("_g", "g"), ("_pct", "%"), ("_c", "°C"), ("_ml", "ml"), ("_ppm", "ppm"), ("minutes", "min")],
)
def test_every_measured_column_has_its_unit(cast: Cast, ending: str, unit: str) -> None:
    told = json.loads(exported(cast.owner, "json"))
    fields = [field for resource in told["resources"] for field in resource["schema"]["fields"]]
    found = [field for field in fields if field["name"].endswith(ending)]
    assert found
    assert {field.get("unit") for field in found} == {unit}
    assert {field["type"] for field in found} == {"number"}


def test_both_forms_hold_the_same_and_read_back_as_it_was_recorded(cast: Cast, yard: Yard) -> None:
    a_bit_of_everything(yard)
    rows = in_json(cast.owner)
    assert read_back(*unzipped(cast.owner)) == {
        kind: [
            {name: "" if value is None and is_text(kind, name) else value for name, value in row.items()}
            for row in of
        ]
        for kind, of in rows.items()
    }
    (variety,) = rows["variety"]
    (delivery,) = rows["delivery"]
    assert (variety["temp_low_c"], delivery["price"], delivery["lot"]) == (-4.5, 12.1, "-7")
    assert rows["reading"][0]["at"] == "2026-05-03T07:00:00.250000Z"
    assert rows["drying_weighing"][0]["cooled"] is True
    assert (rows["photo"][0]["sha256"], rows["pick"][0]["author_name"]) == ("a" * 64, "Olga")
    assert [len(rows[kind]) for kind in ("block", "pick", "happening", "jar")] == [1, 2, 1, 0]


def is_text(kind: str, name: str) -> bool:
    """References are text in a table, and an empty text is how a table says that there is none."""
    return name in {"author", "author_name", "variety", "delivery", "place", "pick", "drying", "jar"}


def test_a_negative_number_stays_a_number_and_a_text_like_one_is_guarded(cast: Cast, yard: Yard) -> None:
    a_bit_of_everything(yard)
    _, files = unzipped(cast.owner)
    (delivery,) = csv.DictReader(io.StringIO(files["delivery.csv"], newline=""))
    assert (delivery["lot"], delivery["stored_c"], delivery["price"]) == ("'-7", "-2.0", "12.10")


@pytest.mark.parametrize("text", SPREADSHEET_TRAPS)
def test_no_text_is_taken_for_a_formula_and_every_text_comes_back(cast: Cast, yard: Yard, text: str) -> None:
    yard.supplier("Larches", note=text)
    yard.sent()
    descriptor, files = unzipped(cast.owner)
    ((*_, cell),) = list(csv.reader(io.StringIO(files["supplier.csv"], newline="")))[1:]
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n", "＝"))
    assert read_back(descriptor, files)["supplier"][0]["note"] == text
    assert "take one apostrophe away" in descriptor["description"]
    assert in_json(cast.owner)["supplier"][0]["note"] == text


def test_lines_end_as_rfc_4180_has_it(cast: Cast, yard: Yard) -> None:
    yard.supplier("Larches")
    yard.sent()
    _, files = unzipped(cast.owner)
    assert files["supplier.csv"].count("\r\n") == files["supplier.csv"].count("\n") == 2
