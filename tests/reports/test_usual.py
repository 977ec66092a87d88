"""What the comparison takes for usual of a species, against the catalogue's own words."""

import pytest

from harvestlog.reports.usual import usual_range


@pytest.mark.parametrize(
    ("species", "fact", "low", "high"),
    [
        # 200 to 250 g per kg saleable (common practice): down by a third, up by a sixth.
        ("pleurotus-ostreatus", "yield_g_per_kg_wet", 133.3, 291.7),
        # 17 and 20.29 % (Triratana et al. 1991 and another): both within.
        ("ganoderma-lucidum", "be_pct", 11.3, 23.7),
        # At most 70 g per kg (Triratana et al. 1991): from half of it.
        ("ganoderma-lucidum", "yield_g_per_kg_wet", 23.3, 81.7),
        # More than 300 g per kg: to twice as much.
        ("pholiota-adiposa", "yield_g_per_kg_wet", 200, 700),
    ],
)
def test_a_range_of_the_catalogue_is_widened(species: str, fact: str, low: float, high: float) -> None:
    found = usual_range(species, fact)
    assert found
    assert (round(found.low, 1), round(found.high, 1)) == (low, high)


@pytest.mark.parametrize(
    ("species", "fact"),
    [
        ("pleurotus-citrinopileatus", "be_pct"),  # from memory only
        ("flammulina-filiformis", "yield_g_per_kg_wet"),  # grams per bottle, no range
        ("no-such-species", "be_pct"),
        ("", "be_pct"),
    ],
)
def test_where_nothing_can_be_leant_on_there_is_no_range(species: str, fact: str) -> None:
    assert usual_range(species, fact) is None
