"""The price of 100 g dried through the API: most picks dry in loads, and nobody weighs them dry alone."""

from typing import Any

import pytest

from tests.cast import Actor, Cast
from tests.reports.yard import Yard

Json = dict[str, Any]


@pytest.fixture
def yard(cast: Cast) -> Yard:
    return Yard(cast.owner)


def compared(actor: Actor) -> Json:
    answer = actor.phone.get("/api/reports/comparison")
    assert answer.status_code == 200, answer.content
    return dict(answer.json())


def the_supplier(told: Json) -> Json:
    (one,) = told["suppliers"]
    return dict(one)


def dried_price(told: Json) -> Json:
    return dict(the_supplier(told)["price_per_100_g_dried"])


def one_block_and_a_load(yard: Yard, price: str | None = "20.00") -> tuple[str, str]:
    """A pick of 700 g that was dried by itself to 70 g, and 2500 g more in a load that gave 250 g."""
    lot = yard.delivery(yard.supplier("Larches"), count=1, price=price, currency="EUR" if price else "")
    variety = yard.variety()
    block = yard.finished(lot, variety)
    yard.pick(block, 700, dry_g=70)
    load = yard.add("drying", method="warm_air", started="2026-05-03T08:00:00Z", dry_g=250)
    for wet_g in (1500, 1000):
        pick = yard.pick(block, wet_g, flush=2, at="2026-05-20T07:00:00Z")
        yard.add("drying_part", drying=load, pick=pick, wet_g=wet_g)
    return block, load


def test_shares_of_loads_are_counted_and_the_sentence_says_how_much_they_are(cast: Cast, yard: Yard) -> None:
    one_block_and_a_load(yard)
    yard.sent()
    sentence = dried_price(compared(cast.owner))["sentence"]
    assert sentence.startswith("Were all of it dried, 100 g would cost ")
    assert sentence.endswith("(1 block). Of 320 g dried of its variety, 250 g are shares of loads.")


def test_only_what_lay_in_the_load_is_set_against_its_share(cast: Cast, yard: Yard) -> None:
    """300 g of a pick of 900 g gave 30 g: ten to one, not thirty to one."""
    lot = yard.delivery(yard.supplier("Larches"), count=1, price="20.00", currency="EUR")
    variety = yard.variety()
    block = yard.finished(lot, variety)
    pick = yard.pick(block, 900)
    load = yard.add("drying", method="warm_air", started="2026-05-03T08:00:00Z", dry_g=30)
    yard.add("drying_part", drying=load, pick=pick, wet_g=300)
    yard.sent()
    told = compared(cast.owner)
    dried, fresh = dried_price(told)["value"], the_supplier(told)["price_per_kg_fresh"]["value"]
    assert 8 < 10 * dried / fresh < 11


def test_a_load_that_still_dries_is_not_counted(cast: Cast, yard: Yard) -> None:
    block, _ = one_block_and_a_load(yard)
    load = yard.add("drying", method="warm_air", started="2026-05-28T08:00:00Z")
    yard.add("drying_part", drying=load, pick=yard.pick(block, 500, flush=3), wet_g=500)
    yard.sent()
    assert dried_price(compared(cast.owner))["sentence"].endswith(
        "Of 320 g dried of its variety, 250 g are shares of loads."
    )


def test_a_load_of_two_varieties_is_left_out_and_named(cast: Cast, yard: Yard) -> None:
    _, load = one_block_and_a_load(yard)
    other = yard.variety("Lion's mane", species="hericium-erinaceus")
    yard.add("drying_part", drying=load, variety=other, wet_g=100)
    yard.sent()
    told = compared(cast.owner)
    assert dried_price(told)["sentence"].endswith("All 70 g dried of its variety were weighed pick by pick.")
    assert told["troubles"] == [
        "1 load not of one variety alone: the dried prices leave it out. Dry varieties apart."
    ]


def test_without_a_price_no_load_is_a_trouble(cast: Cast, yard: Yard) -> None:
    _, load = one_block_and_a_load(yard, price=None)
    yard.add("drying_part", drying=load, variety=yard.variety("Lion's mane"), wet_g=100)
    yard.sent()
    assert compared(cast.owner)["troubles"] == []


def test_where_nothing_was_dried_the_published_water_stands_in(cast: Cast, yard: Yard) -> None:
    lot = yard.delivery(yard.supplier("Larches"), count=1, price="10.00", currency="EUR")
    yard.finished(lot, yard.variety(), 800, 400)
    yard.sent()
    sentence = dried_price(compared(cast.owner))["sentence"]
    assert sentence.endswith("Nothing of its variety was dried yet: the published water content stands in.")
