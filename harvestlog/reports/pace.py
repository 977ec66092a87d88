"""How fast a species usually goes, from the catalogue, for forecasts and due dates. The phone reads it the same way."""

from functools import lru_cache

from harvestlog.blocks.catalogue import load_catalogue
from harvestlog.calc.forecast import FlushPrior, flush_prior

Span = tuple[float, float]


@lru_cache(maxsize=64)
def pin_days(species: str) -> Span | None:
    """Days from pins to picking; None where the catalogue says nothing of the species."""
    return _span(species, "days_pin_to_harvest")


@lru_cache(maxsize=64)
def prior_of(species: str) -> FlushPrior:
    """What is usual of a species' flushes before the farm has any of its own."""
    return flush_prior(
        _span(species, "days_opening_to_first_crop"),
        pin_days(species),
        _span(species, "days_between_flushes"),
    )


def _span(species: str, fact: str) -> Span | None:
    """Sources differ, so the widest span of what is said counts; an end that nobody gives is the other one."""
    known = load_catalogue().species.get(species)
    facts = known.facts.get(fact, ()) if known else ()
    lows = [row.low for row in facts if row.low is not None]
    highs = [row.high for row in facts if row.high is not None]
    if not lows and not highs:
        return None
    return min(lows or highs), max(highs or lows)
