"""The server's own figures, from records that went the phone's way."""

from typing import Any
from uuid import uuid4

import pytest

from harvestlog.harvests.models import Pick
from tests.cast import Actor, Cast
from tests.reports.yard import Yard
from tests.sync.farms import phone_of, pick

SUPPLIER, VARIETY, DELIVERY = (str(uuid4()) for _ in range(3))


def grow(actor: Actor, *blocks: dict[str, Any]) -> list[str]:
    """A supplier's delivery of these blocks; each may say which picks and happenings it had."""
    phone = phone_of(actor.member)
    phone.change("add", "supplier", SUPPLIER, {"name": "Three Larches"})
    phone.change("add", "variety", VARIETY, {"name": "Grey oyster", "species": "pleurotus-ostreatus"})
    phone.change(
        "add",
        "delivery",
        DELIVERY,
        {"supplier": SUPPLIER, "received": "2026-04-20", "count": len(blocks) or 1},
    )
    ids = []
    for told in blocks:
        block = str(uuid4())
        ids.append(block)
        own = {"label": "22222", "variety": VARIETY, "delivery": DELIVERY, "wet_g": 3000}
        phone.change("add", "block", block, own | told.get("block", {}))
        for fields in told.get("picks", []):
            phone.change("add", "pick", str(uuid4()), pick(block, **({"typed": ""} | fields)))
        for what in told.get("happenings", []):
            phone.change(
                "add", "happening", str(uuid4()), {"block": block, "what": what, "at": "2026-05-20T08:00:00Z"}
            )
    while phone.push():
        pass
    assert phone.parked == []
    return ids


def figures(actor: Actor, block: str, **query: str) -> Any:
    return actor.phone.get(f"/api/reports/blocks/{block}", query).json()


def test_a_blocks_flushes_are_sums_of_its_picks(cast: Cast) -> None:
    picks = [{"wet_g": 400.0}, {"wet_g": 200.0}, {"wet_g": 300.0, "flush": 2, "at": "2026-05-15T07:00:00Z"}]
    (block,) = grow(cast.owner, {"picks": picks})
    told = figures(cast.viewer, block)["figures"]
    assert (told["fresh_g"], told["grams_by_flush"]) == (900, {"1": 600, "2": 300})
    assert told["yield_g_per_kg_wet"] == 300


def test_an_assumed_moisture_gives_a_range(cast: Cast) -> None:
    """250 g per kg wet is 62.5 to 83.3 % at 60 to 70 % moisture, by the definition of the wet basis."""
    basis = {"dry_basis": "assumed", "moisture_low_pct": 60, "moisture_high_pct": 70}
    (block,) = grow(cast.owner, {"block": basis, "picks": [{"wet_g": 750.0}]})
    low, high = figures(cast.owner, block)["figures"]["efficiency_pct"]
    assert (round(low, 2), round(high, 2)) == (62.5, 83.33)


def test_no_dry_basis_gives_no_efficiency(cast: Cast) -> None:
    (block,) = grow(cast.owner, {"picks": [{"wet_g": 750.0}]})
    assert figures(cast.owner, block)["figures"]["efficiency_pct"] is None


@pytest.mark.parametrize(("zone", "days"), [("UTC", 13), ("Pacific/Auckland", 14)])
def test_days_are_counted_on_the_growers_own_calendar(cast: Cast, zone: str, days: int) -> None:
    (block,) = grow(cast.owner, {"picks": [{"at": "2026-05-03T22:00:00Z"}]})
    assert figures(cast.owner, block, zone=zone)["figures"]["days_to_first_harvest"] == days


def told_of(actor: Actor, block: str, **query: str) -> Any:
    answer = actor.phone.get(f"/api/reports/blocks/{block}", query)
    assert answer.status_code == 200
    return answer.json()


def a_block_soaked_after_its_first_flush(yard: Yard, **fields: Any) -> tuple[str, str]:
    """The block and its variety."""
    variety = yard.variety(species="pleurotus-ostreatus")
    block = yard.block(yard.delivery(yard.supplier("Larches")), variety, **fields)
    yard.pick(block, 600)
    soak = {"at": "2026-05-05T20:00:00Z", "until": "2026-05-06T20:00:00Z"}
    yard.add("happening", block=block, what="soaked", **soak)
    return block, variety


@pytest.mark.parametrize(("zone", "day"), [("UTC", "2026-05-06"), ("Pacific/Auckland", "2026-05-07")])
def test_the_next_flush_is_awaited_from_the_day_the_soak_ended(cast: Cast, zone: str, day: str) -> None:
    yard = Yard(cast.owner)
    block, _ = a_block_soaked_after_its_first_flush(yard)
    yard.sent()
    told = told_of(cast.owner, block, zone=zone)["next_flush"]
    assert (told["flush"], told["since"]) == (2, day)
    assert told["first_day"] <= told["likely_day"] <= told["last_day"]
    assert 0 < told["grams"]["low"] < told["grams"]["value"] < told["grams"]["high"]
    assert 0 < told["chance_of_nothing"] < 1


def test_a_forecast_leans_on_the_farms_blocks_of_the_same_variety_alone(cast: Cast) -> None:
    yard = Yard(cast.owner)
    block, variety = a_block_soaked_after_its_first_flush(yard)
    lot = yard.delivery(yard.supplier("Moss"), count=4)
    yard.sent()
    alone = told_of(cast.owner, block)["next_flush"]["grams"]
    for kind in (variety, yard.variety("Lion's mane")):
        for _ in range(2):
            yard.finished(lot, kind, 900, 700)
    yard.sent()
    leaning = told_of(cast.owner, block)["next_flush"]["grams"]
    assert (alone["n"], leaning["n"]) == (1, 5)
    assert leaning["value"] > alone["value"]


def test_another_soak_is_weighed_against_a_new_block(cast: Cast) -> None:
    yard = Yard(cast.owner)
    block, variety = a_block_soaked_after_its_first_flush(yard)
    yard.finished(yard.delivery(yard.supplier("Moss")), variety, 800, 700)
    yard.sent()
    soak = told_of(cast.owner, block)["another_soak"]
    assert soak["g_per_day"] == pytest.approx(soak["grams"]["value"] / soak["days"]["value"])
    # 1500 g from 20 April, when it came, to 14 May, its last pick.
    assert soak["new_block_g_per_day"] == pytest.approx(1500 / 24)


def test_nothing_is_awaited_of_a_block_that_is_over(cast: Cast) -> None:
    yard = Yard(cast.owner)
    block = yard.finished(yard.delivery(yard.supplier("Larches")), yard.variety(), 800)
    yard.sent()
    told = told_of(cast.owner, block)
    assert (told["next_flush"], told["another_soak"]) == (None, None)


def test_nothing_is_awaited_of_a_contaminated_block(cast: Cast) -> None:
    yard = Yard(cast.owner)
    block, _ = a_block_soaked_after_its_first_flush(yard)
    yard.add(
        "happening", block=block, what="contamination", at="2026-05-08T08:00:00Z", contamination="cobweb"
    )
    yard.sent()
    told = told_of(cast.owner, block)
    assert (told["next_flush"], told["another_soak"]) == (None, None)


def test_once_pins_stand_the_next_flush_is_awaited_from_them(cast: Cast) -> None:
    yard = Yard(cast.owner)
    block, _ = a_block_soaked_after_its_first_flush(yard)
    yard.add("happening", block=block, what="pins_seen", at="2026-05-08T08:00:00Z")
    yard.sent()
    told = told_of(cast.owner, block)["next_flush"]
    # 4 to 7 days from pins to harvest (common practice, no source).
    assert (told["since"], told["first_day"], told["last_day"]) == ("2026-05-08", "2026-05-12", "2026-05-15")
    assert (told["pinned"], told["chance_of_nothing"]) == (True, None)


def test_a_block_that_gave_nothing_yet_has_no_soak_to_be_worth_it(cast: Cast) -> None:
    (block,) = grow(cast.owner, {})
    told = told_of(cast.owner, block)
    assert (told["next_flush"]["flush"], told["another_soak"]) == (1, None)


def test_a_block_without_a_mass_is_foretold_days_but_no_grams(cast: Cast) -> None:
    yard = Yard(cast.owner)
    block, _ = a_block_soaked_after_its_first_flush(yard, wet_g=None)
    yard.sent()
    told = told_of(cast.owner, block)
    assert (told["next_flush"]["grams"], told["another_soak"]["grams"]) == (None, None)
    assert told["next_flush"]["likely_day"]


def test_masses_that_no_scale_shows_foretell_nothing_impossible(cast: Cast) -> None:
    yard = Yard(cast.owner)
    block, variety = a_block_soaked_after_its_first_flush(yard, wet_g=5e-324)
    pick = yard.pick(yard.block(None, variety, wet_g=1_000_000))
    yard.sent()
    Pick.objects.filter(uuid=pick).update(wet_g=5e-324)  # as older releases took it
    assert told_of(cast.owner, block)["next_flush"]["grams"] is None


def test_a_blocks_page_costs_the_same_reads_for_many_blocks(
    cast: Cast, django_assert_max_num_queries: Any
) -> None:
    block, *_ = grow(cast.owner, *[{"picks": [{}]}] * 20)
    with django_assert_max_num_queries(9):
        told_of(cast.owner, block)


def test_a_zone_that_does_not_exist_is_refused(cast: Cast) -> None:
    (block,) = grow(cast.owner, {})
    answer = cast.owner.phone.get(f"/api/reports/blocks/{block}", {"zone": "Mars/Crater"})
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "zone")


def test_a_strangers_question_about_a_block_finds_nothing(cast: Cast) -> None:
    (block,) = grow(cast.owner, {"picks": [{}]})
    assert cast.stranger.phone.get(f"/api/reports/blocks/{block}").status_code == 404


def test_a_suppliers_history_keeps_failed_and_unfinished_blocks_apart(cast: Cast) -> None:
    grow(
        cast.owner,
        {"picks": [{"wet_g": 600.0}], "happenings": ["spent"]},
        {"happenings": ["contamination", "discarded"]},
        {"picks": [{"wet_g": 900.0}]},
        {},
    )
    (supplier,) = cast.owner.phone.get("/api/reports/suppliers").json()
    told = supplier["history"]
    assert [told[name] for name in ("received", "unfinished", "finished", "failed", "contaminated")] == [
        4,
        2,
        2,
        1,
        1,
    ]
    assert told["yield_g_per_kg_wet"] is None
    assert (told["gave_g_per_kg_wet"], told["so_far_g_per_kg_wet"]) == ([200], [300])


def test_the_suppliers_page_costs_the_same_reads_for_many_blocks(
    cast: Cast, django_assert_max_num_queries: Any
) -> None:
    grow(cast.owner, *[{"picks": [{}]}] * 20)
    with django_assert_max_num_queries(12):
        cast.owner.phone.get("/api/reports/suppliers")
