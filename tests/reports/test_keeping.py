"""The server's own figures of keeping, from records that went the phone's way."""

from typing import Any
from uuid import UUID

import pytest

from harvestlog.calc.drying import estimate_dry_down
from harvestlog.calc.estimates import published_prior
from harvestlog.calc.rehydration import Peleg
from harvestlog.calc.trials import ratio_at
from harvestlog.reports.keeping.figures import BEYOND, attempt
from tests.cast import Cast
from tests.reports.shed import AT, Json, Shed
from tests.reports.test_api import VARIETY, grow


@pytest.fixture
def shed(cast: Cast) -> Shed:
    grow(cast.owner, {"picks": [{"wet_g": 600.0}, {"wet_g": 400.0}]})
    return Shed(cast.owner)


@pytest.fixture
def picks(shed: Shed) -> list[str]:
    shed.phone.pull()
    return [id for id, row in shed.phone.confirmed.items() if row["kind"] == "pick"]


def grey(wet_g: float) -> Json:
    return {"variety": VARIETY, "wet_g": wet_g}


def test_a_load_ends_near_what_the_published_water_says(shed: Shed) -> None:
    shed.load(grey(1000.0))
    (told,) = shed.figures()["dryings"]
    prior = estimate_dry_down([], published_prior("pleurotus-ostreatus"))
    assert told["wet_g"] == 1000
    assert told["estimate"]["value"] == pytest.approx(1000 / prior.value)
    assert (told["estimate"]["n"], told["estimate"]["basis"]) == (
        0,
        "published water content, none of yours yet",
    )
    assert (told["shares"], told["verdict"]["verdict"], told["says"]) == ({}, "weigh_again", [])


def test_a_load_of_picks_takes_their_blocks_variety(shed: Shed, picks: list[str]) -> None:
    shed.load(*[{"pick": pick, "wet_g": 500.0} for pick in picks], dry_g=112.0)
    shed.load(grey(700.0))
    told = shed.figures()["dryings"][1]
    expected = estimate_dry_down([(1000, 112)], published_prior("pleurotus-ostreatus"))
    assert told["estimate"]["value"] == pytest.approx(700 / expected.value)
    assert told["estimate"]["n"] == 1


def test_a_mixed_loads_dried_grams_are_shared_out_by_wet_mass(shed: Shed, picks: list[str]) -> None:
    shed.load({"pick": picks[0], "wet_g": 600.0}, {"pick": picks[1], "wet_g": 400.0}, dry_g=110.0)
    (told,) = shed.figures()["dryings"]
    assert sorted(told["shares"].values()) == pytest.approx([44, 66])
    assert sum(told["shares"].values()) == 110


def test_the_weighings_of_a_load_are_judged(shed: Shed) -> None:
    load = shed.load(grey(1000.0), scale_step_g=1.0)
    for hour, grams in ((10, 300.0), (12, 112.0), (14, 112.0)):
        shed.add("drying_weighing", drying=load, at=f"2026-05-20T{hour}:00:00Z", mass_g=grams, cooled=True)
    (told,) = shed.figures()["dryings"]
    assert (told["verdict"]["verdict"], told["verdict"]["lost_g"]) == ("constant", 0)


def test_a_load_that_rises_is_asked_back_in_words(shed: Shed) -> None:
    load = shed.load(grey(1000.0))
    for hour, grams in ((10, 112.0), (12, 131.0)):
        shed.add("drying_weighing", drying=load, at=f"2026-05-20T{hour}:00:00Z", mass_g=grams, cooled=True)
    (told,) = shed.figures()["dryings"]
    assert told["verdict"] is None
    assert told["says"][0].startswith("The load weighs 131 g, above the 112 g it weighed before:")


def test_a_load_with_nothing_in_it_says_so(shed: Shed) -> None:
    shed.load(dry_g=50.0)
    (told,) = shed.figures()["dryings"]
    assert (told["estimate"], told["shares"]) == (None, {})
    assert told["says"] == [
        "There is nothing in this load yet: put in the picks that are dried together.",
        "There is no pick in this load: put in the picks that were dried together.",
    ]


def test_a_load_dried_heavier_than_it_went_in_is_asked_back_and_teaches_nothing(shed: Shed) -> None:
    shed.load(grey(100.0), dry_g=850.0)
    told = shed.figures()
    assert told["dryings"][0]["says"] == [
        "The dry mass, 850 g, is above the wet mass, 100 g: check both weights, they may be swapped."
    ]
    assert {one["estimate"]["n"] for one in told["dry_down"]} == {0}


def test_the_dry_down_is_told_for_every_variety_and_method(shed: Shed) -> None:
    shed.load(grey(1000.0), dry_g=112.0)
    told = {one["method"]: one for one in shed.figures()["dry_down"]}
    assert {method: one["estimate"]["n"] for method, one in told.items()} == {
        "freeze": 1,
        "warm_air": 0,
        "room_air": 0,
    }
    assert {one["variety"] for one in told.values()} == {VARIETY}


def test_a_pick_dried_by_itself_counts_until_a_load_of_the_method_is_finished(cast: Cast) -> None:
    grow(cast.owner, {"picks": [{"wet_g": 640.0, "dry_g": 75.0}]})
    shed = Shed(cast.owner)
    shed.load(grey(1000.0), dry_g=112.0)
    told = {one["method"]: one["estimate"]["value"] for one in shed.figures()["dry_down"]}
    prior = published_prior("pleurotus-ostreatus")
    assert told["freeze"] == pytest.approx(estimate_dry_down([(1000, 112)], prior).value)
    assert told["room_air"] == pytest.approx(estimate_dry_down([(640, 75)], prior).value)


def test_a_jar_holds_what_was_not_taken(shed: Shed) -> None:
    load = shed.load(grey(1000.0), dry_g=112.0)
    jar = shed.add(
        "jar",
        label="22222",
        variety=VARIETY,
        drying=load,
        dry_g=110.0,
        packed="2026-05-21",
        container_ml=1000.0,
    )
    shed.add("taking", jar=jar, at=AT, mass_g=30.5)
    undone = shed.add("taking", jar=jar, at=AT, mass_g=9.0)
    shed.delete("taking", undone)
    (one,) = shed.figures()["jars"]
    assert one["left_g"] == 79.5
    assert one["oxygen_ml"] == pytest.approx(209.5)


def jar_of(shed: Shed, load: str) -> Json:
    """What 58 g of a load stand for."""
    shed.add("jar", label="22222", variety=VARIETY, drying=load, dry_g=58.0, packed="2026-05-21")
    (one,) = shed.figures()["jars"]
    return dict(one["fresh_equivalent"])


def test_a_jar_stands_for_fresh_as_its_own_load_was_weighed(shed: Shed) -> None:
    """58 g x 830/92, whatever the farm's other loads did."""
    shed.load(grey(1000.0), dry_g=200.0)
    told = jar_of(shed, shed.load(grey(500.0), grey(330.0), dry_g=92.0))
    assert [told[end] for end in ("low", "value", "high")] == pytest.approx([523.2608695652] * 3)
    assert (told["n"], told["basis"]) == (1, "its own load")


def test_a_jar_of_a_mixed_load_stands_for_what_its_mean_says(shed: Shed) -> None:
    told = jar_of(shed, shed.load(grey(500.0), {"wet_g": 330.0}, dry_g=92.0))
    assert told["value"] == pytest.approx(523.2608695652)
    assert told["basis"] == "the mean of its own load, which was mixed"


def test_a_jar_of_a_load_not_weighed_dry_stands_for_what_the_dry_down_says(shed: Shed) -> None:
    shed.load(grey(1000.0), dry_g=112.0)
    told = jar_of(shed, shed.load(grey(900.0)))
    ratio = estimate_dry_down([(1000, 112)], published_prior("pleurotus-ostreatus"))
    assert told["low"] == pytest.approx(58 * ratio.low)
    assert told["basis"] == ratio.basis


def test_a_jar_that_two_phones_emptied_stands_for_nothing(shed: Shed) -> None:
    jar = shed.add("jar", label="22222", variety=VARIETY, dry_g=50.0, packed="2026-05-21")
    for _ in range(2):
        shed.add("taking", jar=jar, at=AT, mass_g=30.0)
    (one,) = shed.figures()["jars"]
    assert (one["left_g"], one["fresh_equivalent"]) == (-10, None)


def test_a_soaking_trial_gives_its_ratios_and_its_curve(shed: Shed) -> None:
    """The weighings follow k1 = 0.8 min, k2 = 0.22: the curve is found again."""
    curve = Peleg(k1=0.8, k2=0.22, m0=0.065 / 0.935)
    jar = shed.add("jar", label="22222", variety=VARIETY, dry_g=50.0, packed="2026-05-21")
    trial = shed.add("trial", jar=jar, at=AT, dry_g=10.0)
    for minutes in (20.0, 2.0, 60.0, 5.0):
        shed.add(
            "trial_weighing", trial=trial, minutes=minutes, drained_g=round(10 * ratio_at(curve, minutes), 3)
        )
    (one,) = shed.figures()["trials"]
    assert [each["minutes"] for each in one["ratio"]] == [2, 5, 20, 60]
    assert one["ratio"][3]["ratio"] == pytest.approx(ratio_at(curve, 60), abs=1e-3)
    assert (one["peleg"]["k1"], one["peleg"]["k2"]) == pytest.approx((0.8, 0.22), rel=1e-3)
    # 89.18 % of fresh water (USDA Standard Reference, NDB 11987), 6.5 % of dried.
    assert one["coefficient"] == pytest.approx(ratio_at(curve, 60) * (100 - 89.18) / 93.5, abs=1e-3)
    assert one["soak_minutes"] == pytest.approx(9 * 0.8 / 0.22, rel=1e-3)


def test_a_trial_of_a_kind_without_published_water_gets_no_coefficient(shed: Shed) -> None:
    trial = shed.add("trial", at=AT, dry_g=10.0)
    shed.add("trial_weighing", trial=trial, minutes=60.0, drained_g=52.0)
    (one,) = shed.figures()["trials"]
    assert one["ratio"] == [{"minutes": 60, "ratio": 5.2}]
    assert one["coefficient"] is None


def test_a_trial_weighed_once_says_what_is_still_needed(shed: Shed) -> None:
    trial = shed.add("trial", at=AT, dry_g=10.0)
    shed.add("trial_weighing", trial=trial, minutes=5.0, drained_g=31.0)
    (one,) = shed.figures()["trials"]
    assert (one["peleg"], one["ratio"]) == (None, [{"minutes": 5, "ratio": 3.1}])
    assert one["says"] == ["Weighed at 1 of the three different times after the start that a curve needs."]


def test_an_extract_is_estimated_from_what_was_measured(shed: Shed) -> None:
    """1000 mL at 95 % and 500 mL of water make 1460.1 mL at 65.06 % by OIML R 22 (fixtures/calc/extracts.json)."""
    extract = shed.add(
        "extract",
        name="Shelf two",
        mass_g=100.0,
        spirit_ml=1000.0,
        spirit_pct=95.0,
        started=AT,
        target_low_pct=25.0,
        target_high_pct=70.0,
    )
    shed.add("extract_step", extract=extract, what="strained", at="2026-06-20T08:00:00Z", volume_ml=1000.0)
    shed.add("extract_step", extract=extract, what="boiled", at="2026-06-21T08:00:00Z", volume_ml=500.0)
    (one,) = shed.figures()["extracts"]
    assert one["joined_ml"]["value"] == pytest.approx(1460.1388, abs=1e-3)
    assert one["joined_pct_vol"]["value"] == pytest.approx(65.062, abs=1e-3)
    assert one["spirit_still_ml"]["value"] == 0
    assert one["assumptions"]


def test_an_extract_out_of_reach_says_so(shed: Shed) -> None:
    shed.add("extract", name="Weak", mass_g=10.0, spirit_ml=500.0, spirit_pct=20.0, started=AT)
    (one,) = shed.figures()["extracts"]
    assert one["joined_ml"] is None
    assert one["says"] == ["Spirit of 20 % cannot take it up to 25 %: take stronger spirit."]


def test_a_deleted_load_is_gone_with_all_that_was_in_it(shed: Shed) -> None:
    load = shed.load(grey(1000.0), dry_g=112.0)
    shed.delete("drying", load)
    told = shed.figures()
    assert told["dryings"] == []
    assert {one["estimate"]["n"] for one in told["dry_down"]} == {0}


def test_a_stranger_sees_nothing_of_it(shed: Shed, cast: Cast) -> None:
    shed.load(grey(1000.0))
    told = cast.stranger.phone.get("/api/reports/keeping").json()
    assert told == {"dryings": [], "dry_down": [], "jars": [], "trials": [], "extracts": []}


def test_a_viewer_sees_all_of_it(shed: Shed, cast: Cast) -> None:
    load = shed.load(grey(1000.0))
    told = cast.viewer.phone.get("/api/reports/keeping").json()
    assert [UUID(one["id"]) for one in told["dryings"]] == [UUID(load)]


@pytest.mark.parametrize(
    "calculation", [lambda: 1 / 0, lambda: 1e300**2, lambda: float("nan"), lambda: [{"a": float("inf")}]]
)
def test_numbers_beyond_all_numbers_become_a_sentence(calculation: Any) -> None:
    says: list[str] = []
    assert attempt(says, calculation) is None
    assert says == [BEYOND]


def test_a_fault_of_ones_own_is_not_hidden_in_a_sentence() -> None:
    with pytest.raises(TypeError):
        attempt([], lambda: len(5))  # type: ignore[arg-type]


def test_the_page_costs_the_same_reads_for_much_as_for_little(
    shed: Shed, django_assert_max_num_queries: Any
) -> None:
    for _ in range(5):
        load = shed.load(grey(1000.0), grey(200.0), dry_g=112.0)
        jar = shed.add("jar", label="22222", drying=load, dry_g=50.0, packed="2026-05-21")
        trial = shed.add("trial", jar=jar, at=AT, dry_g=10.0)
        shed.add("trial_weighing", trial=trial, minutes=5.0, drained_g=31.0)
    with django_assert_max_num_queries(15):
        shed.figures()
