"""What phones sent and were answered, as it was recorded: a newer server gives older phones the same answers.

A phone may keep its operations for weeks while the server is brought up to date. So these files are never changed: a
kind that gets a new field gets a file of the next version beside the old ones.
"""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from harvestlog.sync.kinds import KINDS
from tests.sync.phone import Phone

RECORDED = Path(__file__).parents[2] / "fixtures" / "sync"
FILES = sorted(RECORDED.glob("*.json"))


def told(name: str) -> dict[str, Any]:
    read: dict[str, Any] = json.loads((RECORDED / name).read_text(encoding="utf-8"))
    return read


def recorded(kind: str, verb: str) -> list[str]:
    """Its files, oldest version first."""
    versions = {
        int(found[1]): path.name
        for path in FILES
        if (found := re.fullmatch(rf"{kind}\.{verb}\.v([0-9]+)\.json", path.name))
    }
    assert sorted(versions) == list(range(1, len(versions) + 1)), f"{kind}: a version is missing"
    return [versions[version] for version in sorted(versions)]


@pytest.mark.parametrize("name", [path.name for path in FILES])
def test_an_operation_is_answered_as_it_was_recorded(phone: Phone, name: str) -> None:
    file = told(name)
    for each in [*([told(file["after"])] if "after" in file else []), file]:
        phone.outbox.append(each["operation"])
        assert phone.push() == [each["result"]]


@pytest.mark.parametrize("name", [path.name for path in FILES])
def test_what_comes_back_says_what_was_sent(phone: Phone, name: str) -> None:
    file = told(name)
    before = [told(file["after"])["operation"]] if "after" in file else []
    phone.outbox += [*before, file["operation"]]
    phone.push()
    phone.pull()
    fields = phone.confirmed[file["operation"]["row"]]["fields"]
    assert {field: fields[field] for field in file["fields"]} == file["fields"]


@pytest.mark.parametrize("verb", ["add", "patch"])
@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_recorded(kind: str, verb: str) -> None:
    files = [told(name)["operation"] for name in recorded(kind, verb)]
    assert files
    assert {(op["kind"], op["verb"]) for op in files} == {(kind, verb)}


@pytest.mark.parametrize("kind", KINDS)
def test_the_newest_recorded_operation_says_every_field(kind: str) -> None:
    """Fails for a kind that got a new field until what phones send now is recorded as the next version."""
    newest = told(recorded(kind, "add")[-1])["operation"]
    assert set(newest["fields"]) == KINDS[kind].fields


def test_a_delivery_of_an_older_phone_says_nothing_of_how_cold_it_was_kept(phone: Phone) -> None:
    old = told("delivery.add.v1.json")["operation"]
    assert "stored_c" not in old["fields"]
    phone.outbox.append(old)
    phone.push()
    phone.pull()
    assert phone.confirmed[old["row"]]["fields"]["stored_c"] is None


def test_an_older_phones_correction_leaves_a_newer_field_alone(phone: Phone) -> None:
    new = told("delivery.add.v2.json")["operation"]
    correction = told("delivery.patch.v1.json")["operation"] | {"row": new["row"]}
    phone.outbox += [new, correction]
    assert [result["status"] for result in phone.push()] == ["applied", "applied"]
    phone.pull()
    fields = phone.confirmed[new["row"]]["fields"]
    assert (fields["stored_c"], fields["price"]) == (4, "79.90")
