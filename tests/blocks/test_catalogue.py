"""The catalogue says nothing more surely than its sources do."""

import pytest

from harvestlog.blocks.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FACTS = [
    (key, name, fact)
    for key, facts in [
        *((s.key, s.facts) for s in CATALOGUE.species.values()),
        ("all", CATALOGUE.all_species),
    ]
    for name, rows in facts.items()
    for fact in rows
]


def said(species, name):
    return {(fact.text, fact.low, fact.high, fact.kind) for fact in CATALOGUE.species[species].facts[name]}


def test_it_holds_the_14_species_under_their_latin_names():
    assert len(CATALOGUE.species) == 14
    for key, species in CATALOGUE.species.items():
        assert key == species.key == species.latin.lower().replace(" ", "-")
        assert species.trade_names


def test_every_fact_says_how_far_to_trust_it():
    assert {fact.kind for _, _, fact in FACTS} == {"published", "common practice", "memory"}
    assert all(fact.text and fact.trust for _, _, fact in FACTS)


def test_published_facts_have_a_source_and_the_others_have_none():
    assert [fact for _, _, fact in FACTS if (fact.kind == "published") != (fact.source is not None)] == []


def test_no_range_stands_upside_down():
    ranges = [(fact.low, fact.high) for _, _, fact in FACTS if fact.low is not None and fact.high is not None]
    assert len(ranges) > 100
    assert all(low <= high for low, high in ranges)


def test_every_end_of_a_range_stands_in_its_words():
    for key, name, fact in FACTS:
        for end in (fact.low, fact.high):
            assert end is None or f"{end:g}" in fact.text.replace("89.90", "89.9"), (key, name, fact)


def test_beech_shows_the_colder_and_the_warmer_range():
    assert said("hypsizygus-marmoreus", "fruit_temp_c") == {
        ("4-13 (40-55 °F): wants cold to fruit", 4, 13, "common practice"),
        ("13-18", 13, 18, "memory"),
    }


@pytest.mark.parametrize("species", ["pleurotus-djamor", "pleurotus-citrinopileatus"])
def test_pink_and_yellow_oysters_want_it_warm_beside_their_ranges(species):
    facts = CATALOGUE.species[species].facts["fruit_temp_c"]
    assert "wants it warm to fruit" in {fact.text for fact in facts}
    assert any(fact.low is not None for fact in facts)


@pytest.mark.parametrize("species", ["ostreatus", "pulmonarius", "djamor", "citrinopileatus"])
def test_oysters_want_moving_air(species):
    assert said(f"pleurotus-{species}", "air") == {("wants moving air", None, None, "common practice")}


def test_antlered_reishi_stays_in_its_closed_vented_bag():
    ((text, _, _, kind),) = said("ganoderma-lucidum", "air")
    assert "closed, vented bag" in text
    assert kind == "common practice"


def test_what_holds_for_all_is_common_practice_without_a_source():
    texts = {fact.text: fact.trust for facts in CATALOGUE.all_species.values() for fact in facts}
    assert texts == dict.fromkeys(
        [
            "indirect light only",
            "air dried out by a heater costs the crop",
            "a soaked block can give a third flush",
        ],
        "common practice, no source",
    )


def test_a_growers_claim_beside_a_published_range_stays_a_claim():
    kinds = {text: kind for text, _, _, kind in said("hericium-erinaceus", "be_pct")}
    assert kinds == {"70-92": "published", "90-140 (growers' claim)": "common practice"}


def test_units_stand_beside_the_numbers():
    (fact,) = CATALOGUE.species["lentinula-edodes"].facts["days_between_flushes"]
    assert (fact.low, fact.high, fact.unit, fact.trust) == (10, 14, "days", "common practice, no source")
