"""The demo farm has something of everything that is kept, and all of it adds up."""

from collections import Counter
from datetime import timedelta

import pytest

from harvestlog.blocks.labels import is_label
from harvestlog.blocks.masses import Mass, parse_mass
from harvestlog.calc.brews import Brew, two_stage
from harvestlog.calc.drying import dry_down_ratio
from harvestlog.calc.extracts import dual_extract
from harvestlog.calc.jars import jar_left_g
from harvestlog.calc.loads import LoadWeighing, load_verdict
from harvestlog.calc.trials import trial_curve
from tests.demo.reading import NOON, RECORDS, time

LOADS, JARS, TRIALS, EXTRACTS = (RECORDS[kind] for kind in ("drying", "jar", "trial", "extract"))
WEIGHED = {
    "drying": ("dry_g", "dry_typed"),
    "drying_part": ("wet_g", "typed"),
    "drying_weighing": ("mass_g", "typed"),
    "jar": ("dry_g", "dry_typed"),
    "taking": ("mass_g", "typed"),
    "trial": ("dry_g", "dry_typed"),
    "trial_weighing": ("drained_g", "typed"),
    "extract": ("mass_g", "typed"),
}


def of(kind, owner, row):
    return [fields for fields in RECORDS[kind].values() if fields[owner] == row]


def wet_g(load):
    return sum(part["wet_g"] for part in of("drying_part", "drying", load))


def weighings(load):
    start = time(LOADS[load]["started"])
    rows = sorted(of("drying_weighing", "drying", load), key=lambda row: row["at"])
    return [
        LoadWeighing(
            minutes=(time(row["at"]) - start).total_seconds() / 60, mass_g=row["mass_g"], cooled=row["cooled"]
        )
        for row in rows
    ]


def steps(extract):
    rows = sorted(of("extract_step", "extract", extract), key=lambda row: row["at"])
    return [(row["what"], row["volume_ml"]) for row in rows]


def test_there_is_enough_for_every_page():
    counts = {kind: len(RECORDS[kind]) for kind in ("drying", "jar", "trial", "extract")}
    assert counts == {"drying": 7, "jar": 7, "trial": 3, "extract": 2}
    assert {load["method"] for load in LOADS.values()} == {"freeze", "warm_air", "room_air"}
    assert {jar["container"] for jar in JARS.values()} == {"jar", "bag", "tin"}
    assert {jar["cut"] for jar in JARS.values()} == {"whole", "sliced", "crushed", "powder"}


def test_one_load_still_runs_and_the_others_were_weighed_dry():
    assert [load["dry_g"] is None for load in LOADS.values()].count(True) == 1
    assert all((load["dry_g"] is None) == (load["ended"] is None) for load in LOADS.values())


@pytest.mark.parametrize("kind", WEIGHED)
def test_grams_are_what_was_typed(kind):
    grams, typed = WEIGHED[kind]
    for fields in RECORDS[kind].values():
        if fields[grams] is not None:
            assert parse_mass(fields[typed], "g") == Mass(fields[grams], fields[typed])


def test_some_loads_hold_picks_of_several_blocks_and_one_of_two_varieties():
    blocks = [
        {RECORDS["pick"][part["pick"]]["block"] for part in of("drying_part", "drying", load) if part["pick"]}
        for load in LOADS
    ]
    varieties = [{RECORDS["block"][block]["variety"] for block in each} for each in blocks]
    assert sum(len(each) > 1 for each in blocks) >= 4
    assert any(len(each) == 2 for each in varieties)


def test_no_pick_is_dried_twice_nor_more_of_it_than_was_picked():
    dried: Counter[str] = Counter()
    for part in RECORDS["drying_part"].values():
        if part["pick"]:
            assert RECORDS["pick"][part["pick"]]["dry_g"] is None
            dried[part["pick"]] += part["wet_g"]
    assert all(grams <= RECORDS["pick"][pick]["wet_g"] for pick, grams in dried.items())


def test_a_finished_load_lost_most_of_its_mass():
    done = {load: fields["dry_g"] for load, fields in LOADS.items() if fields["dry_g"] is not None}
    assert all(8 < dry_down_ratio(wet_g(load), dry_g) < 12.5 for load, dry_g in done.items())


def test_loads_came_to_constant_weight_or_to_the_end_of_what_their_scale_shows():
    verdicts = {
        load: load_verdict(weighings(load), fields["scale_step_g"]).verdict for load, fields in LOADS.items()
    }
    done = {verdicts[load] for load, fields in LOADS.items() if fields["ended"]}
    assert done == {"constant", "scale_too_coarse"}
    assert {verdicts[load] for load, fields in LOADS.items() if not fields["ended"]} == {"weigh_again"}


def test_jars_hold_no_more_than_their_load_gave():
    filled: Counter[str] = Counter()
    for jar in JARS.values():
        assert is_label(jar["label"])
        assert time(LOADS[jar["drying"]]["ended"]).date().isoformat() < jar["packed"]
        filled[jar["drying"]] += jar["dry_g"]
    assert all(grams <= LOADS[load]["dry_g"] for load, grams in filled.items())


def test_no_jar_gave_more_than_it_held_and_some_are_nearly_empty():
    left = {
        jar: jar_left_g(fields["dry_g"], [taking["mass_g"] for taking in of("taking", "jar", jar)])
        for jar, fields in JARS.items()
    }
    assert all(grams >= 0 for grams in left.values())
    assert any(grams < 0.1 * JARS[jar]["dry_g"] for jar, grams in left.items())


def test_nothing_was_taken_before_the_jar_was_packed():
    for kind in ("taking", "trial", "extract"):
        for fields in RECORDS[kind].values():
            if fields["jar"]:
                at = fields.get("at") or fields["started"]
                assert at[:10] >= JARS[fields["jar"]]["packed"], fields


def test_every_soaking_trial_has_a_curve():
    for trial, fields in TRIALS.items():
        rows = [(row["minutes"], row["drained_g"]) for row in of("trial_weighing", "trial", trial)]
        assert 5 <= len(rows) <= 6
        curve = trial_curve(fields["dry_g"], rows)
        assert 0.2 < curve.k1 < 10
        assert 0.1 < curve.k2 < 0.5


def test_one_extract_is_bottled_and_one_may_be_strained_from_now_on():
    bottled, steeping = sorted(EXTRACTS, key=lambda row: EXTRACTS[row]["started"])
    assert [what for what, _ in steps(bottled)][-4:] == ["strained", "boiled", "joined", "bottled"]
    assert {what for what, _ in steps(steeping)} == {"shaken"}
    age = NOON - time(EXTRACTS[steeping]["started"])
    assert timedelta(days=28) <= age <= timedelta(days=42)


def test_the_bottled_extract_lies_near_its_makers_setting():
    bottled = min(EXTRACTS, key=lambda row: EXTRACTS[row]["started"])
    names = ("mushroom", "mass_g", "spirit_ml", "spirit_pct", "fresh_water_low_pct", "fresh_water_high_pct")
    told = EXTRACTS[bottled]
    brew = Brew(**{name: told[name] for name in names}, steps=steps(bottled))
    joined = dual_extract(two_stage(brew), (told["target_low_pct"], told["target_high_pct"])).joined_pct_vol
    assert told["target_low_pct"] <= joined.value <= told["target_high_pct"]


def test_the_air_of_four_places_was_read_over_the_season():
    readings = RECORDS["reading"].values()
    assert len({reading["place"] for reading in readings}) == 4
    days = [time(reading["at"]) for reading in readings]
    assert (max(days) - min(days)).days > 150
