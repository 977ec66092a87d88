"""Blocks bought from suppliers, as the tests of the comparison write them."""

from datetime import date, timedelta

from harvestlog.calc.comparison.blocks import Bought
from harvestlog.calc.figures import Grown, Picked
from harvestlog.calc.yields import Basis

CAME = date(2026, 3, 1)
NO_BASIS = Basis(kind="none")


def block(
    key, supplier="Moss Lane", *flushes, wet_g=1000.0, ended=True, variety="grey oyster", first=14, **more
):
    """A block with one pick for each flush, in grams, a fortnight apart; `more` goes to Bought."""
    picks = [
        Picked(day=CAME + timedelta(days=first + 14 * i), wet_g=grams, flush=i + 1)
        for i, grams in enumerate(flushes)
    ]
    basis = more.pop("basis", NO_BASIS)
    grown = Grown(variety=variety, basis=basis, wet_g=wet_g, received=CAME, ended=ended, picks=picks)
    return Bought(key=key, supplier=supplier, grown=grown, lot=more.pop("lot", f"of {supplier}"), **more)


def blocks(supplier, *totals, **more):
    return [block(f"{supplier} {i}", supplier, *flushes(total), **more) for i, total in enumerate(totals)]


def flushes(total):
    return (total * 0.6, total * 0.4) if total else ()


def of(comparison, supplier):
    return next(s for s in comparison.suppliers if s.supplier == supplier)
