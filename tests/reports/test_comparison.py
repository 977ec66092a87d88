"""Comparing suppliers through the API: a farm's own records in, true sentences out."""

import subprocess
import sys
from typing import Any
from uuid import uuid4

import pytest

from harvestlog.harvests.models import Pick
from tests.cast import Actor, Cast, Clock
from tests.reports.yard import Yard

Json = dict[str, Any]


@pytest.fixture
def yard(cast: Cast) -> Yard:
    return Yard(cast.owner)


def compared(actor: Actor, **query: str) -> Json:
    answer = actor.phone.get("/api/reports/comparison", query)
    assert answer.status_code == 200, answer.content
    return dict(answer.json())


def by_name(told: Json) -> dict[str, Json]:
    return {each["name"]: each for each in told["suppliers"]}


def two_suppliers(yard: Yard, blocks: int = 5) -> tuple[str, str, str]:
    """Larches gives twice what Moss gives."""
    larches, moss, variety = yard.supplier("Larches"), yard.supplier("Moss"), yard.variety()
    for supplier, grams in ((larches, 800), (moss, 400)):
        lot = yard.delivery(supplier, count=blocks, price="50.00", currency="EUR")
        for n in range(blocks):
            yard.finished(lot, variety, grams + 10 * n, grams / 2)
    yard.sent()
    return larches, moss, variety


def test_the_better_supplier_is_named_and_every_block_behind_the_number_is_shown(
    cast: Cast, yard: Yard
) -> None:
    larches, moss, _ = two_suppliers(yard)
    told = compared(cast.viewer)
    assert told["sentence"].startswith("Larches gives more than Moss")
    (pair,) = told["pairs"]
    assert (pair["first"], pair["second"], pair["verdict"]) == (larches, moss, "first")
    of = by_name(told)
    assert of["Moss"]["expected"]["value"] < of["Larches"]["expected"]["value"]
    behind = of["Larches"]["behind"]
    assert sorted(each["so_far"] for each in behind) == [pytest.approx((1200 + 10 * n) / 3) for n in range(5)]
    assert {each["label"] for each in behind} == {"22222"}
    assert {each["counted"] for each in behind} == {"whole"}


def test_who_costs_less_is_said_once_the_two_prices_lie_apart(cast: Cast, yard: Yard) -> None:
    """At the same price a block Larches gives twice the grams."""
    two_suppliers(yard, blocks=12)
    told = compared(cast.viewer)
    assert told["price_sentence"].startswith("Per fresh kilogram Larches costs less: ")
    assert (
        by_name(told)["Larches"]["price_per_kg_fresh"]["high"]
        < by_name(told)["Moss"]["price_per_kg_fresh"]["low"]
    )


def test_a_blocks_price_is_the_deliverys_over_its_count(cast: Cast, yard: Yard) -> None:
    """Five blocks for 50.00, one of them never put up: 10.00 for about 1.2 kg."""
    two_suppliers(yard)
    price = by_name(compared(cast.owner))["Larches"]["price_per_kg_fresh"]
    assert 7 < price["value"] < 11
    assert price["low"] < price["value"] < price["high"]


def test_a_block_that_never_opened_still_costs_its_share(cast: Cast, yard: Yard) -> None:
    lot = yard.delivery(yard.supplier("Larches"), count=10, price="50.00", currency="EUR")
    variety = yard.variety()
    for _ in range(3):
        yard.finished(lot, variety, 1000)
    yard.sent()
    price = by_name(compared(cast.owner))["Larches"]["price_per_kg_fresh"]
    assert price["n"] == 3
    assert 4 < price["value"] < 8


def test_two_suppliers_of_one_name_stand_apart(cast: Cast, yard: Yard) -> None:
    variety = yard.variety()
    ids = [yard.supplier("Larches", contact=contact) for contact in ("East road", "West road")]
    twins = [yard.supplier("Moss") for _ in range(2)]
    for supplier in ids + twins:
        yard.finished(yard.delivery(supplier), variety, 500)
    yard.sent()
    told = compared(cast.owner)
    names = {each["id"]: each["name"] for each in told["suppliers"]}
    assert [names[id] for id in ids] == ["Larches (East road)", "Larches (West road)"]
    assert {names[id] for id in twins} == {f"Moss ({id.replace('-', '')[-6:]})" for id in twins}
    assert [each["received"] for each in told["suppliers"]] == [1, 1, 1, 1]


def test_one_variety_is_compared_by_itself(cast: Cast, yard: Yard) -> None:
    larches = yard.supplier("Larches")
    oyster, lion = yard.variety("Grey oyster"), yard.variety("Lion's mane", species="hericium-erinaceus")
    lot = yard.delivery(larches, count=3)
    for variety in (oyster, oyster, lion):
        yard.finished(lot, variety, 500)
    yard.sent()
    told = compared(cast.owner, variety=lion)
    assert (told["variety"], told["suppliers"][0]["received"]) == (lion, 1)
    assert told["varieties"] == [
        {"id": oyster, "name": "Grey oyster", "blocks": 2},
        {"id": lion, "name": "Lion's mane", "blocks": 1},
    ]
    assert compared(cast.owner, variety="")["variety"] is None


@pytest.mark.parametrize(("variety", "status"), [(str(uuid4()), 404), ("oyster", 422)])
def test_a_variety_that_is_not_there_is_refused(cast: Cast, variety: str, status: int) -> None:
    answer = cast.owner.phone.get("/api/reports/comparison", {"variety": variety})
    assert answer.status_code == status


def test_stated_dry_masses_give_biological_efficiency(cast: Cast, yard: Yard) -> None:
    lot, variety = yard.delivery(yard.supplier("Larches"), count=2), yard.variety()
    for _ in range(2):
        yard.finished(lot, variety, 1000, dry_basis="stated", dry_g=1250)
    yard.sent()
    told = compared(cast.owner)
    assert told["unit"] == "efficiency_pct"
    assert [each["so_far"] for each in told["suppliers"][0]["behind"]] == pytest.approx([80, 80])


def test_no_blocks_is_said_and_not_counted(cast: Cast) -> None:
    told = compared(cast.owner)
    assert (told["sentence"], told["suppliers"], told["pairs"]) == ("No blocks to compare yet.", [], [])


def test_one_supplier_has_nobody_to_be_compared_with(cast: Cast, yard: Yard) -> None:
    yard.finished(yard.delivery(yard.supplier("Larches")), yard.variety(), 500)
    yard.sent()
    told = compared(cast.owner)
    assert told["sentence"] == "1 block of one supplier: there is nobody to compare with."
    assert told["pairs"] == []


def test_when_every_block_failed_there_is_no_yield_and_a_reason(cast: Cast, yard: Yard) -> None:
    lot, variety = yard.delivery(yard.supplier("Larches"), count=2), yard.variety()
    for _ in range(2):
        yard.finished(lot, variety)
    yard.sent()
    told = compared(cast.owner)
    (supplier,) = told["suppliers"]
    assert told["sentence"].startswith("Nothing was picked from 2 blocks yet")
    assert supplier["failed"] == 2
    assert supplier["typical"]["value"] is None
    assert supplier["typical"]["sentence"] == "2 of 2 blocks gave nothing, and none has finished a flush."


def test_blocks_without_any_mass_give_a_reason_instead_of_a_yield(cast: Cast, yard: Yard) -> None:
    for name in ("Larches", "Moss"):
        yard.finished(yard.delivery(yard.supplier(name)), yard.variety(name), 500, wet_g=None)
    yard.sent()
    told = compared(cast.owner)
    assert told["sentence"].startswith("No finished flush can be set against a block's mass yet")
    assert "weigh the next on arrival" in told["suppliers"][0]["typical"]["sentence"]
    assert any("no mass to set the harvest against" in trouble for trouble in told["troubles"])


def test_masses_that_no_scale_shows_are_no_masses(cast: Cast, yard: Yard) -> None:
    """A tonne from a block of next to nothing is beyond all numbers: a sentence, and never 500."""
    lot, variety = yard.delivery(yard.supplier("Larches"), count=4), yard.variety()
    yard.finished(lot, variety, 100_000, wet_g=2e-302)
    yard.finished(lot, variety, 1, 100_000, wet_g=1_000_000)
    yard.finished(lot, variety, 100_000, dry_basis="stated", dry_g=5e-324)
    yard.finished(lot, variety, 300)
    yard.sent()
    Pick.objects.filter(wet_g=1).update(wet_g=5e-324)  # as older releases took it
    (supplier,) = compared(cast.owner)["suppliers"]
    assert [each["counted"] for each in supplier["behind"]].count("no mass") == 1
    assert 0 < supplier["typical"]["value"] < 10_000


def test_blocks_without_a_supplier_are_named_and_judge_nobody(cast: Cast, yard: Yard) -> None:
    variety, gone = yard.variety(), yard.supplier("Gone")
    yard.finished(yard.delivery(gone), variety, 500)
    yard.delete("supplier", gone)
    yard.happened(yard.block(None, variety), "spent")
    yard.sent()
    told = compared(cast.owner)
    assert told["suppliers"] == []
    assert told["troubles"] == [
        "2 blocks with no supplier on record, so nobody is judged by them: add the delivery they came with."
    ]


def test_a_deleted_variety_stays_a_variety_of_its_own(cast: Cast, yard: Yard) -> None:
    lot, gone = yard.delivery(yard.supplier("Larches"), count=2), yard.variety("Gone")
    yard.finished(lot, gone, 500)
    yard.finished(lot, yard.variety(), 500)
    yard.delete("variety", gone)
    yard.sent()
    names = {each["id"]: each["name"] for each in compared(cast.owner)["varieties"]}
    assert names[gone] == "A variety that is not on record"


@pytest.mark.parametrize(("zone", "day"), [("Pacific/Auckland", "2026-06-02"), ("UTC", "2026-06-01")])
def test_today_is_the_growers_own(cast: Cast, clock: Clock, zone: str, day: str) -> None:
    actor = cast.owner
    _ = actor.phone
    clock.moment = clock.moment.replace(year=2026, month=6, day=1, hour=20)
    actor.device = uuid4()  # sits down again, now
    del actor.phone
    assert compared(actor, zone=zone)["day"] == day


def test_nothing_of_another_farm_is_in_the_answer(cast: Cast, yard: Yard) -> None:
    theirs = Yard(cast.stranger)
    lot = theirs.delivery(theirs.supplier("CANARY supplier"), lot="CANARY lot")
    canary = theirs.variety("CANARY variety")
    theirs.finished(lot, canary, 900)
    theirs.sent()
    two_suppliers(yard)
    assert "CANARY" not in str(compared(cast.owner))
    assert cast.owner.phone.get("/api/reports/comparison", {"variety": canary}).status_code == 404


def test_who_is_signed_out_compares_nothing(visitor: Any) -> None:
    assert visitor.get("/api/reports/comparison").status_code == 401


def test_many_blocks_cost_no_more_reads_than_few(
    cast: Cast, yard: Yard, django_assert_max_num_queries: Any
) -> None:
    two_suppliers(yard, blocks=12)
    with django_assert_max_num_queries(10):
        compared(cast.owner)


def test_numpy_is_loaded_only_when_somebody_compares() -> None:
    """It takes longer than all of reports."""
    program = (
        "import os, sys, django; os.environ['DJANGO_SETTINGS_MODULE'] = 'harvestlog.settings'; django.setup();"
        "import harvestlog.reports.api; assert 'numpy' not in sys.modules;"
        "from harvestlog.calc.suppliers import compare; compare([]); assert 'numpy' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", program], check=True)
