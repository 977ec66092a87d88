"""A season through the API: what was picked, which lots did best, what was spent."""

from typing import Any

import pytest

from tests.cast import Actor, Cast, Clock
from tests.reports.yard import Yard

Json = dict[str, Any]
SPAN = {"from": "2026-04-01", "to": "2026-06-30"}


@pytest.fixture
def yard(cast: Cast) -> Yard:
    return Yard(cast.owner)


def season(actor: Actor, **query: str) -> Json:
    answer = actor.phone.get("/api/reports/season", SPAN | query)
    assert answer.status_code == 200, answer.content
    return dict(answer.json())


def picked(yard: Yard, *picks: tuple[str, float]) -> str:
    """One block with these picks, and its variety's id."""
    variety = yard.variety()
    block = yard.block(None, variety)
    for at, grams in picks:
        yard.pick(block, grams, at)
    return variety


def test_weeks_begin_on_monday_and_empty_ones_between_are_shown(cast: Cast, yard: Yard) -> None:
    """3 May 2026 is a Sunday, 4 May a Monday."""
    variety = picked(
        yard,
        ("2026-05-03T07:00:00Z", 100),
        ("2026-05-04T07:00:00Z", 200),
        ("2026-05-10T07:00:00Z", 50),
        ("2026-05-18T07:00:00Z", 25),
    )
    yard.sent()
    assert season(cast.viewer)["weeks"] == [
        {"monday": "2026-04-27", "varieties": {variety: 100}},
        {"monday": "2026-05-04", "varieties": {variety: 250}},
        {"monday": "2026-05-11", "varieties": {}},
        {"monday": "2026-05-18", "varieties": {variety: 25}},
    ]


@pytest.mark.parametrize(("zone", "monday"), [("UTC", "2026-04-27"), ("Pacific/Auckland", "2026-05-04")])
def test_a_week_is_one_of_the_growers_own_calendar(cast: Cast, yard: Yard, zone: str, monday: str) -> None:
    picked(yard, ("2026-05-03T20:00:00Z", 100))
    yard.sent()
    assert season(cast.owner, zone=zone)["weeks"][0]["monday"] == monday


def test_only_picks_of_the_days_asked_for_are_counted(cast: Cast, yard: Yard) -> None:
    picked(yard, ("2026-05-02T23:59:00Z", 1), ("2026-05-03T00:00:00Z", 20), ("2026-05-04T23:59:00Z", 300))
    yard.sent()
    told = season(cast.owner, **{"from": "2026-05-03", "to": "2026-05-04"})
    assert told["varieties"][0]["fresh_g"] == 320
    assert told["sentence"] == "320 g from 1 block in 2 weeks with picks, all of it Grey oyster."


def test_a_load_in_the_dryer_is_shared_among_its_picks_and_said_to_be(cast: Cast, yard: Yard) -> None:
    """90 g from 600 g of one variety and 300 g of another: 60 g and 30 g."""
    oyster, lion = yard.variety(), yard.variety("Lion's mane")
    first = yard.pick(yard.block(None, oyster), 600)
    other = yard.pick(yard.block(None, lion), 300)
    yard.pick(yard.block(None, lion), 100, dry_g=11)
    load = yard.add("drying", method="warm_air", started="2026-05-03T08:00:00Z", dry_g=90)
    for pick, grams in ((first, 600), (other, 300)):
        yard.add("drying_part", drying=load, pick=pick, wet_g=grams)
    yard.sent()
    told = season(cast.owner)
    assert {each["id"]: each["dried_g"] for each in told["varieties"]} == {oyster: 60, lion: 41}
    assert told["troubles"] == [
        "The dried mass of 2 picks is their share of a load, by fresh mass; nobody weighed it alone."
    ]


def test_a_variety_that_was_never_dried_has_no_dried_grams(cast: Cast, yard: Yard) -> None:
    picked(yard, ("2026-05-03T07:00:00Z", 100))
    yard.sent()
    assert season(cast.owner)["varieties"][0]["dried_g"] is None


def test_lots_stand_from_best_to_worst_with_failed_blocks_counted_as_nothing(cast: Cast, yard: Yard) -> None:
    variety, supplier = yard.variety(), yard.supplier("Larches")
    poor, good, young = (yard.delivery(supplier, lot=lot, count=3) for lot in ("poor", "good", "young"))
    for grams in (600, 0, 0):
        yard.finished(poor, variety, *([grams] if grams else []))
    for grams in (300, 600, 900):
        yard.finished(good, variety, grams)
    yard.block(young, variety)
    yard.sent()
    lots = season(cast.owner)["lots"]
    assert [(lot["lot"], lot["finished"], lot["failed"]) for lot in lots] == [
        ("good", 3, 0),
        ("poor", 3, 2),
        ("young", 0, 0),
    ]
    assert [lot["g_per_kg_wet"] for lot in lots] == [
        {"median": 200, "low": 100, "high": 300, "n": 3},
        {"median": 0, "low": 0, "high": 200, "n": 3},
        None,
    ]
    assert [lot["early"] for lot in lots] == ["", "", "1 not picked yet: too early to say"]
    assert lots[0] | {"delivery": good, "supplier": supplier, "variety": variety} == lots[0]


def test_a_failed_block_ranks_no_lot_while_others_still_give(cast: Cast, yard: Yard) -> None:
    """336 g and 861 g from 3 kg wet are 112 and 287 g per kg."""
    variety, lot = yard.variety(), yard.delivery(yard.supplier("Larches"), count=3)
    yard.finished(lot, variety)
    for grams in (336, 861):
        yard.pick(yard.block(lot, variety), grams)
    yard.sent()
    (told,) = season(cast.owner)["lots"]
    assert (told["failed"], told["g_per_kg_wet"]) == (1, None)
    assert told["early"] == "1 failed, 2 still giving (112 to 287 g per kg so far): too early to say"


def test_a_finished_block_without_a_mass_is_named(cast: Cast, yard: Yard) -> None:
    yard.finished(yard.delivery(yard.supplier("Larches")), yard.variety(), 500, wet_g=None)
    yard.sent()
    told = season(cast.owner)
    assert told["lots"][0]["g_per_kg_wet"] is None
    assert told["troubles"] == [
        "1 finished block without a wet mass: the lots leave it out. Weigh blocks on arrival."
    ]


def test_what_was_spent_is_summed_to_the_cent_and_by_currency(cast: Cast, yard: Yard) -> None:
    supplier = yard.supplier("Larches")
    for price, currency in (("0.10", "EUR"), ("0.20", "EUR"), (None, "EUR"), ("5.00", "GBP")):
        yard.delivery(supplier, price=price, currency=currency)
    yard.delivery(supplier, price="99.00", currency="EUR", received="2025-12-24")
    yard.sent()
    assert season(cast.owner)["spent"] == [
        {"currency": "EUR", "total": "0.30", "deliveries": 3, "without_price": 1},
        {"currency": "GBP", "total": "5.00", "deliveries": 1, "without_price": 0},
    ]


def test_a_pick_of_a_block_that_is_gone_is_left_out_and_said(cast: Cast, yard: Yard) -> None:
    variety = yard.variety()
    block = yard.block(None, variety)
    yard.pick(block, 500)
    yard.delete("block", block)
    yard.sent()
    told = season(cast.owner)
    assert told["sentence"] == "Nothing was picked from 1 April 2026 to 30 June 2026."
    assert told["troubles"] == ["1 pick is left out, as no block on record gave it."]


def test_nothing_at_all_is_said_as_that(cast: Cast) -> None:
    told = season(cast.owner)
    assert [told[name] for name in ("weeks", "varieties", "flush_shares", "lots", "spent")] == [
        [],
        [],
        {},
        [],
        [],
    ]


def test_the_last_twelve_months_are_shown_unless_days_are_named(cast: Cast, clock: Clock) -> None:
    clock.moment = clock.moment.replace(year=2028, month=2, day=29, hour=12)
    told = cast.owner.phone.get("/api/reports/season").json()
    assert (told["from"], told["to"]) == ("2027-03-01", "2028-02-29")


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ({"from": "2026-05-02", "to": "2026-05-01"}, "from"),
        ({"from": "May"}, "from"),
        ({"to": "2026-02-30"}, "to"),
        ({"zone": "Mars/Crater"}, "zone"),
    ],
)
def test_days_that_cannot_be_are_refused(cast: Cast, query: Json, field: str) -> None:
    answer = cast.owner.phone.get("/api/reports/season", query)
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, field)


def test_nothing_of_another_farm_is_in_the_answer(cast: Cast, yard: Yard) -> None:
    theirs = Yard(cast.stranger)
    lot = theirs.delivery(theirs.supplier("CANARY supplier"), lot="CANARY lot", price="7.00")
    theirs.finished(lot, theirs.variety("CANARY variety"), 900)
    theirs.sent()
    picked(yard, ("2026-05-03T07:00:00Z", 100))
    yard.sent()
    told = season(cast.owner)
    assert "CANARY" not in str(told)
    assert (told["spent"], told["varieties"][0]["fresh_g"]) == ([], 100)


def test_many_blocks_cost_no_more_reads_than_few(
    cast: Cast, yard: Yard, django_assert_max_num_queries: Any
) -> None:
    lot, variety = yard.delivery(yard.supplier("Larches"), count=20), yard.variety()
    for _ in range(20):
        yard.finished(lot, variety, 500)
    yard.sent()
    with django_assert_max_num_queries(12):
        season(cast.owner)
