"""The demo farm has something of everything the program keeps, and nothing its own rules would refuse."""

import json
import re
from collections import Counter
from statistics import median
from uuid import UUID

import pytest

from harvestlog.blocks.catalogue import load_catalogue
from harvestlog.blocks.labels import is_label
from harvestlog.blocks.masses import Mass, parse_mass
from harvestlog.calc.states import Noted, PickedAt, Seen, block_state
from harvestlog.sync.kinds import KINDS
from tests.demo.reading import (
    NOON,
    OPS,
    RECORDS,
    TOLD,
    first_day,
    fresh_g,
    is_finished,
    of_block,
    species_of,
    supplier_of,
    time,
)

SPECIES = load_catalogue().species
BLOCKS, PICKS, HAPPENINGS = RECORDS["block"], RECORDS["pick"], RECORDS["happening"]


def test_a_season_of_forty_blocks():
    counts = {kind: len(rows) for kind, rows in RECORDS.items()}
    assert counts["supplier"] == 3
    assert counts["variety"] == 6
    assert counts["place"] == 5
    assert counts["delivery"] == 8
    assert 38 <= counts["block"] <= 46
    first, last = time(OPS[0]["at"]), max(time(op["at"]) for op in OPS)
    assert 180 <= (last - first).days <= 183


@pytest.mark.parametrize("op", OPS, ids=lambda op: f"{op['kind']} {op['row']}")
def test_every_record_is_acceptable(op):
    assert set(op["fields"]) == KINDS[op["kind"]].fields
    KINDS[op["kind"]].form.model_validate_json(json.dumps(op["fields"]))


def test_ids_are_unique_and_carry_their_time():
    ids = [UUID(op[name]) for op in OPS for name in ("id", "row")]
    assert len(set(ids)) == len(ids)
    assert {id.version for id in ids} == {7}
    assert all(UUID(op["row"]).int >> 80 == time(op["at"]).timestamp() * 1000 for op in OPS)


def test_parents_come_before_what_names_them():
    seen: set[str] = set()
    for op in OPS:
        names = (
            "supplier",
            "variety",
            "delivery",
            "place",
            "block",
            "pick",
            "drying",
            "jar",
            "trial",
            "extract",
        )
        named = {op["fields"].get(name) for name in names} - {None}
        assert named <= seen, op
        seen.add(op["row"])


def test_at_least_five_species_all_of_them_in_the_catalogue():
    species = {variety["species"] for variety in RECORDS["variety"].values()}
    assert len(species) >= 5
    assert species <= set(SPECIES)


def test_every_way_to_know_a_block_is_there():
    assert {block["dry_basis"] for block in BLOCKS.values()} == {
        "none",
        "stated",
        "oven",
        "measured",
        "assumed",
    }
    assert {block["form"] for block in BLOCKS.values()} >= {"bag", "bucket", "log"}
    assert any(block["delivery"] is None for block in BLOCKS.values())
    assert any(block["wet_g"] is None for block in BLOCKS.values())


def test_every_happening_is_there():
    assert {happening["what"] for happening in HAPPENINGS.values()} == {
        "opened",
        "pins_seen",
        "soaked",
        "moved",
        "contamination",
        "discarded",
        "spent",
        "note",
    }
    assert len({happening["contamination"] for happening in HAPPENINGS.values()} - {""}) >= 4


def test_some_blocks_failed_and_some_are_unfinished():
    finished = [block for block in BLOCKS if is_finished(block)]
    assert sum(fresh_g(block) == 0 for block in finished) >= 3
    assert len(BLOCKS) - len(finished) >= 8


def test_blocks_stand_in_every_state_at_the_end():
    states = Counter(_state_at_noon(block) for block in BLOCKS)
    assert set(states) == {"resting", "soaking", "pinning", "fruiting", "spent", "discarded"}


def _state_at_noon(block: str) -> str:
    noted = [
        Noted(h["what"], time(h["at"]), time(h["until"]) if h["until"] else None)
        for h in of_block("happening", block)
    ]
    picks = [PickedAt(time(p["at"]), p["flush"]) for p in of_block("pick", block)]
    photos = [Seen(p["stage"], time(p["taken"])) for p in of_block("photo", block)]
    return block_state(noted, picks, photos, NOON)


def test_two_blocks_lie_in_water_and_one_is_due_in_hours():
    ends = sorted(
        time(h["until"]) - NOON for h in HAPPENINGS.values() if h["until"] and time(h["until"]) > NOON
    )
    hours = [end.total_seconds() / 3600 for end in ends]
    assert len(hours) == 2
    assert 2 <= hours[0] <= 5
    assert hours[1] < 24


def test_nothing_else_is_dated_after_noon_of_the_last_day():
    names = ("at", "taken", "started", "ended")
    times = [op["at"] for op in OPS] + [
        op["fields"][name] for op in OPS for name in names if op["fields"].get(name)
    ]
    assert max(map(time, times)) <= NOON


def test_nothing_happens_to_a_block_before_it_came():
    for kind, name in (("pick", "at"), ("happening", "at"), ("photo", "taken")):
        for fields in RECORDS[kind].values():
            assert time(fields[name]) > first_day(fields["block"]), fields


def test_nothing_is_picked_after_a_block_was_given_up():
    for block in BLOCKS:
        ends = [time(h["at"]) for h in of_block("happening", block) if h["what"] in ("spent", "discarded")]
        assert all(time(pick["at"]) < min(ends) for pick in of_block("pick", block) if ends), block


def test_labels_are_valid_and_no_two_alike():
    labels = [block["label"] for block in BLOCKS.values()]
    assert all(is_label(label) for label in labels)
    assert len(set(labels)) == len(labels)


def test_grams_are_what_was_typed():
    for pick in PICKS.values():
        assert parse_mass(pick["typed"], "g") == Mass(pick["wet_g"], pick["typed"])
        if pick["dry_g"] is not None:
            assert parse_mass(pick["dry_typed"], "g") == Mass(pick["dry_g"], pick["dry_typed"])


@pytest.mark.parametrize(
    "pattern", [r"^\d+ g$", r"^\d+g$", r"^\d+,\d+ kg$", r"^\d+ lb \d+ 1/2 oz$", r"^\d+\.5 oz$"]
)
def test_masses_are_typed_in_many_ways(pattern):
    assert any(re.search(pattern, pick["typed"]) for pick in PICKS.values())


def test_dried_shares_are_plausible():
    shares = [pick["dry_g"] / pick["wet_g"] for pick in PICKS.values() if pick["dry_g"] is not None]
    assert len(shares) >= 10
    assert all(0.07 <= share <= 0.12 for share in shares)


def test_flushes_have_several_picks_and_give_less_each_time():
    several = 0
    for block in BLOCKS:
        sums: Counter[int] = Counter()
        for pick in of_block("pick", block):
            sums[pick["flush"]] += pick["wet_g"]
            several += sum(p["flush"] == pick["flush"] for p in of_block("pick", block)) > 1
        given = [sums[flush] for flush in sorted(sums)]
        assert sorted(sums) == list(range(1, len(sums) + 1))
        assert given == sorted(given, reverse=True), (block, given)
    assert several > 40
    assert {pick["handling"] for pick in PICKS.values()} == {"whole", "trimmed"}


def test_finished_blocks_give_about_what_the_catalogue_says():
    """Between the lowest and highest end of its ranges, give or take a quarter for a poor or a rich block."""
    for block, fields in BLOCKS.items():
        if (
            fields["dry_g"] is None
            or fields["delivery"] is None
            or not is_finished(block)
            or fresh_g(block) == 0
        ):
            continue
        said = SPECIES[species_of(block)].facts["be_pct"]
        ends = [end for fact in said for end in (fact.low, fact.high) if end is not None]
        efficiency = 100 * fresh_g(block) / fields["dry_g"]
        assert 0.75 * min(ends) <= efficiency <= 1.25 * max(ends), block


def test_suppliers_differ_as_they_were_made_to():
    def yields(supplier: str, species: str) -> list[float]:
        return [
            1000 * fresh_g(block) / fields["wet_g"]
            for block, fields in BLOCKS.items()
            if (supplier_of(block) or "").startswith(supplier) and species_of(block) == species
            if fields["wet_g"] and is_finished(block)
        ]

    best = median(yields("Tamblequist", "lentinula-edodes"))
    assert best > median(yields("Ozzlethwick", "lentinula-edodes"))
    assert median(yields("Brindlewhump", "hericium-erinaceus")) > median(
        yields("Tamblequist", "hericium-erinaceus")
    )
    manes = {supplier: yields(supplier, "hericium-erinaceus") for supplier in ("Brindlewhump", "Ozzlethwick")}
    assert _spread(manes["Brindlewhump"]) < _spread(manes["Ozzlethwick"])


def _spread(values: list[float]) -> float:
    return (max(values) - min(values)) / median(values)


def test_no_address_could_be_real():
    """RFC 2606 keeps the .example domain for nobody."""
    addresses = [person["email"] for person in TOLD["people"]]
    addresses += [supplier["contact"] for supplier in RECORDS["supplier"].values()]
    assert all(address.endswith(".example") for address in addresses)


def test_people_in_every_role():
    assert {person["role"] for person in TOLD["people"]} == {"owner", "picker", "viewer"}
