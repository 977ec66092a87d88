"""What a yield report says, and that it says nothing else."""

import json
from typing import Any

import pytest

from harvestlog.accounts.models import Person
from harvestlog.reports.models import SupplierReport
from harvestlog.sync.kinds import KINDS
from tests.cast import Cast, Clock
from tests.reports.reported import REPORTS, file, made, pdf_text, season, snapshot, zip_text
from tests.reports.yard import Yard

# What may cross over from a record into a report, as itself or as a figure, a letter or a word made from it.
OPEN = {
    "supplier": {"name"},
    "variety": {"name", "species"},
    "delivery": {"supplier", "lot", "received", "count", "stored_c"},
    "block": {"label", "variety", "delivery", "form", "wet_g", "dry_basis", "dry_g", "moisture_pct"}
    | {"moisture_low_pct", "moisture_high_pct", "place"},
    "happening": {"block", "what", "at", "until", "place", "contamination"},
    "pick": {"block", "flush", "at", "wet_g", "handling", "scale_step_g"},
    "photo": {"block", "flush", "stage", "taken", "sha256", "thumb_sha256"},
    "reading": {"place", "at", "temp_c", "rh_pct"},
}


def sentences(cast: Cast, supplier: str, **other: Any) -> str:
    return " ".join(snapshot(cast.owner, supplier, **other)["sentences"])


def test_two_varieties_of_one_name_are_told_apart(cast: Cast) -> None:
    yard = Yard(cast.owner)
    supplier = yard.supplier("Three Larches")
    delivery = yard.delivery(supplier, count=2)
    varieties = [yard.variety("Grey oyster"), yard.variety("Grey oyster")]
    for variety in varieties:
        yard.finished(delivery, variety, 500)
    yard.sent()
    told = snapshot(cast.owner, supplier)
    names = sorted(f"Grey oyster ({variety[-6:]})" for variety in varieties)
    assert [row["name"] for row in told["varieties"]] == names
    assert sorted(block["variety"] for block in told["deliveries"][0]["blocks"]) == names


def test_a_block_is_told_with_its_flushes_and_its_range_of_efficiency(cast: Cast) -> None:
    """750 g from 3 kg wet is 250 g/kg, and 62.5 to 83.3 % at 60 to 70 % moisture, by the definition of the wet basis."""
    block = snapshot(cast.owner, season(cast.owner))["deliveries"][0]["blocks"][0]
    assert [(each["flush"], each["grams"]) for each in block["flushes"]] == [(1, 500), (2, 250)]
    assert (block["fresh_g"], block["g_per_kg_wet"], block["outcome"]) == (750, 250, "finished")
    assert [round(end, 1) for end in block["efficiency_pct"]] == [62.5, 83.3]
    assert (block["basis"]["low_g"], block["basis"]["high_g"]) == (900, 1200)


def test_failed_blocks_stay_in_the_median_as_0_and_are_named(cast: Cast) -> None:
    yard = Yard(cast.owner)
    supplier, variety = yard.supplier("Three Larches"), yard.variety()
    delivery = yard.delivery(supplier, count=4)
    for grams in ([750], [300], [600]):
        yard.finished(delivery, variety, *grams)
    yard.finished(delivery, variety, label="8H7TK")
    yard.sent()
    (told,) = snapshot(cast.owner, supplier)["varieties"]
    assert told["g_per_kg_wet"] == {"median": 150, "low": 0, "high": 250, "n": 4}
    assert told["failed"] == ["8H7TK"]


def test_two_finished_blocks_have_no_median_in_the_report(cast: Cast) -> None:
    (variety,) = snapshot(cast.owner, season(cast.owner))["varieties"]
    assert (variety["counts"]["finished"], variety["g_per_kg_wet"]) == (2, None)


def test_counts_tell_received_opened_finished_failed_and_unfinished(cast: Cast) -> None:
    delivery = snapshot(cast.owner, season(cast.owner))["deliveries"][0]
    assert delivery["count"] == 3
    assert delivery["counts"] == {
        "recorded": 3, "opened": 0, "finished": 2, "failed": 1, "unfinished": 1, "contaminated": 1,
    }  # fmt: skip


def test_soaks_are_told_in_hours_and_summed_only_when_all_ended(cast: Cast) -> None:
    yard = Yard(cast.owner)
    supplier, variety = yard.supplier("Three Larches"), yard.variety()
    delivery = yard.delivery(supplier, count=2)
    whole, open_ended = yard.block(delivery, variety), yard.block(delivery, variety)
    for block in (whole, open_ended):
        yard.happened(block, "soaked", "2026-05-01T06:00:00Z", until="2026-05-01T18:00:00Z")
    yard.happened(whole, "soaked", "2026-05-09T06:00:00Z", until="2026-05-09T10:30:00Z")
    yard.happened(open_ended, "soaked", "2026-05-09T06:00:00Z")
    yard.sent()
    first, second = snapshot(cast.owner, supplier)["deliveries"][0]["blocks"]
    assert ([soak["hours"] for soak in first["soaks"]], first["soak_hours"]) == ([12, 4.5], 16.5)
    assert ([soak["hours"] for soak in second["soaks"]], second["soak_hours"]) == ([12, None], None)


def test_room_conditions_are_those_of_the_days_the_blocks_stood_there(cast: Cast) -> None:
    yard = Yard(cast.owner)
    supplier, variety, shed, cellar = (
        yard.supplier("Three Larches"), yard.variety(), yard.add("place", name="Shed"), yard.add("place", name="Cellar")
    )  # fmt: skip
    block = yard.block(yard.delivery(supplier, stored_c=3.5), variety, place=shed)
    yard.happened(block, "moved", "2026-05-10T12:00:00Z", place=cellar)
    yard.happened(block, "spent", "2026-05-20T12:00:00Z")
    for place, at, temp, rh in (
        (shed, "2026-04-19T12:00:00Z", 30, 10),  # before the delivery
        (shed, "2026-05-01T12:00:00Z", 14, 90),
        (shed, "2026-05-02T12:00:00Z", 16, 94),
        (shed, "2026-05-11T12:00:00Z", 30, 10),  # it had been moved
        (cellar, "2026-05-11T12:00:00Z", 12, None),
        (cellar, "2026-05-21T12:00:00Z", 30, 10),  # it was spent
    ):
        yard.add("reading", place=place, at=at, temp_c=temp, rh_pct=rh)
    yard.sent()
    told = snapshot(cast.owner, supplier)
    first, second = told["rooms"]
    assert first["letter"] == "A"
    assert first["temp_c"] == {"median": 15, "low": 14, "high": 16, "n": 2}
    assert first["rh_pct"] == {"median": 92, "low": 90, "high": 94, "n": 2}
    assert (second["letter"], second["temp_c"]["n"], second["rh_pct"]) == ("B", 1, None)
    assert told["deliveries"][0]["blocks"][0]["rooms"] == ["A", "B"]
    assert told["deliveries"][0]["stored_c"] == 3.5


def test_only_the_chosen_deliveries_and_days_are_in_it(cast: Cast) -> None:
    yard = Yard(cast.owner)
    supplier = yard.supplier("Three Larches")
    early, middle, _ = (
        yard.delivery(supplier, lot=lot, received=f"2026-04-{lot}") for lot in ("01", "10", "20")
    )
    yard.sent()
    for asked, lots in (
        ({}, ["01", "10", "20"]),
        ({"deliveries": [middle]}, ["10"]),
        ({"since": "2026-04-02"}, ["10", "20"]),
        ({"since": "2026-04-10", "until": "2026-04-10"}, ["10"]),
        ({"deliveries": [early], "since": "2026-04-02"}, []),
    ):
        assert [d["lot"] for d in snapshot(cast.owner, supplier, **asked)["deliveries"]] == lots


def test_nothing_but_the_open_fields_comes_through(cast: Cast, clock: Clock) -> None:
    """Every other field of every kind holds a canary, and so do other suppliers, people and places."""
    clock.moment = clock.moment.replace(microsecond=0)  # its digits could be taken for a canary
    supplier, photo = two_suppliers(cast)
    canaries = {"Canary", *plant_canaries(), *Person.objects.values_list("name", flat=True)}
    report = made(cast.owner, supplier, photos=[photo])["id"]
    told = SupplierReport.objects.get(uuid=report).snapshot
    ids = {str(row.uuid) for kind in KINDS.values() for row in kind.model._default_manager.all()}
    assert len(ids) == 18
    for text in (
        json.dumps(told),
        file(cast.owner, report, "html").decode(),
        pdf_text(file(cast.owner, report, "pdf")),
        zip_text(file(cast.owner, report, "zip")),
    ):
        assert "Grey oyster" in text
        assert [canary for canary in canaries | ids if canary in text] == []


def two_suppliers(cast: Cast) -> tuple[str, str]:
    """Of either one record of every kind that a report reads; the first supplier and its photo are told."""
    yard, supplier, photo = Yard(cast.owner), "", ""
    for name in ("Three Larches", "Canary Other"):
        found, shed = yard.supplier(name), yard.add("place", name="Canary shed")
        delivery = yard.delivery(
            found, price="12.00", currency="EUR", lot="L-1" if not supplier else "Canary lot"
        )
        block = yard.block(
            delivery, yard.variety("Grey oyster" if not supplier else "Canary variety"), place=shed
        )
        yard.pick(block, dry_g=30.0, dry_typed="30 g", typed="600 g")
        yard.happened(block, "soaked", mass_before_g=2000, mass_after_g=2400)
        taken = yard.add(
            "photo", block=block, stage="pins", taken="2026-05-03T07:00:00Z",
            sha256="a" * 64, thumb_sha256="b" * 64, width=10, height=10,
        )  # fmt: skip
        yard.add("reading", place=shed, at="2026-05-03T07:00:00Z", temp_c=14, rh_pct=90)
        supplier, photo = supplier or found, photo or taken
    yard.sent()
    return supplier, photo


def plant_canaries() -> list[str]:
    """Writes one into every field that is not open, past the forms; gives those that are long enough to be recognised."""
    planted: list[str] = []
    for kind in KINDS.values():
        for name in sorted(kind.fields - OPEN.get(kind.name, set())):
            canary = str(70001 + len(planted))
            value = value_with(canary, kind.model._meta.get_field(name))
            if value is not None:
                kind.model._default_manager.update(**{name: value})
                planted.append(canary)
    assert len(planted) > 50
    return planted


def value_with(canary: str, field: Any) -> Any:
    """The canary as this field can hold it; None where no such number or text fits: a date, a reference, 3 letters."""
    match field.get_internal_type():
        case "CharField" | "TextField":
            return canary if field.max_length is None or field.max_length >= len(canary) else None
        case "FloatField" | "DecimalField" | "PositiveIntegerField":
            return int(canary)
    return None


def test_photos_are_only_those_that_were_ticked(cast: Cast) -> None:
    yard = Yard(cast.owner)
    supplier = yard.supplier("Three Larches")
    block = yard.block(yard.delivery(supplier), yard.variety())
    first, _ = (
        yard.add(
            "photo", block=block, stage="trouble", taken="2026-05-03T07:00:00Z",
            sha256=letter * 64, thumb_sha256="b" * 64, width=10, height=10,
        )
        for letter in "cd"
    )  # fmt: skip
    yard.sent()
    assert [photo["sha256"] for photo in snapshot(cast.owner, supplier, photos=[first])["photos"]] == [
        "c" * 64
    ]
    assert snapshot(cast.owner, supplier)["photos"] == []


def test_later_records_do_not_change_a_report(cast: Cast) -> None:
    supplier = season(cast.owner)
    report = made(cast.owner, supplier)["id"]
    before = cast.owner.phone.get(f"{REPORTS}/{report}").json()
    yard = Yard(cast.owner)
    yard.delivery(supplier, received="2026-05-01")
    yard.sent()
    assert cast.owner.phone.get(f"{REPORTS}/{report}").json() == before


# --- few records


def test_no_delivery_in_the_chosen_days_is_said(cast: Cast) -> None:
    said = sentences(cast, season(cast.owner), since="2030-01-01")
    assert said == "No delivery from Three Larches was received in the chosen days."


def test_a_delivery_without_blocks_says_that_nothing_can_be_said(cast: Cast) -> None:
    yard = Yard(cast.owner)
    supplier = yard.supplier("Three Larches")
    yard.delivery(supplier, count=4)
    yard.sent()
    assert "1 delivery brought 4 blocks; none is recorded one by one yet" in sentences(cast, supplier)


@pytest.mark.parametrize(
    ("flushes", "said"),
    [
        (
            [[400]],
            "Finished so far: 133 g per kg; 1 not picked yet: too early to say.",
        ),
        ([[300], []], "Finished so far: 100 g per kg; 1 failed, 1 not picked yet: too early to say."),
        ([[]], "1 failed, 1 not picked yet: too early to say. The one finished block gave nothing: "),
        ([[], []], "All 2 finished blocks gave nothing: "),
        ([], "No block is finished yet, so no typical yield can be stated."),
        ([[300], [600], [900]], "The median of 3 finished blocks is 200 g fresh per kg of wet block;"),
    ],
)
def test_few_finished_blocks_get_a_true_sentence(cast: Cast, flushes: list[list[float]], said: str) -> None:
    yard = Yard(cast.owner)
    supplier, variety = yard.supplier("Three Larches"), yard.variety()
    delivery = yard.delivery(supplier, count=len(flushes) + 1)
    for grams in flushes:
        yard.finished(delivery, variety, *grams)
    yard.block(delivery, variety)
    yard.sent()
    told = sentences(cast, supplier)
    assert said in told
    assert told.count("gave nothing") <= 1
    assert ("the dry mass of no finished block is known" in told) == bool(flushes)


def test_blocks_that_do_not_match_the_delivery_note_are_pointed_out(cast: Cast) -> None:
    yard = Yard(cast.owner)
    supplier = yard.supplier("Three Larches")
    delivery, variety = yard.delivery(supplier, count=1), yard.variety()
    for _ in range(2):
        yard.block(delivery, variety)
    yard.sent()
    assert "more blocks are recorded than came" in sentences(cast, supplier)
