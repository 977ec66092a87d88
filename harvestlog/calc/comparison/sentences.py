"""The words beside a compared figure: what it says, or why nothing can be said."""

from collections.abc import Sequence
from math import floor, log10

from harvestlog.calc.comparison.answer import Figure, Pair, SupplierFigures, Unit, Verdict
from harvestlog.calc.comparison.blocks import Standing
from harvestlog.calc.comparison.priors import Priors

UNITS: dict[Unit, str] = {
    "g_per_kg_wet": "g per kg of block",
    "efficiency_pct": "% of its dry mass",
}


def blocks(n: int) -> str:
    """1 block, 2 blocks."""
    return f"{n} block" if n == 1 else f"{n} blocks"


def rounded(value: float) -> str:
    """Three figures and no more: 1234 as 1230, 12.34 as 12.3."""
    if value == 0:
        return "0"
    places = 2 - floor(log10(abs(value)))
    return f"{round(value, places):.{min(3, max(0, places))}f}"


def unsaid(sentence: str, n: int = 0, unfinished: int = 0) -> Figure:
    """A figure that cannot be said, and why."""
    return Figure(value=None, low=None, high=None, n=n, unfinished=unfinished, sentence=sentence)


def said(before: str, ends: tuple[float, float, float], unit: str, n: int, unfinished: int) -> Figure:
    """A figure (value, low, high) in words: "`before` 212 `unit`, likely 180 to 250", and from how many blocks."""
    value, low, high = ends
    shown = [rounded(each) for each in ends]
    going = f", {unfinished} unfinished" if unfinished else ""
    sentence = f"{before} {shown[0]} {unit}, likely {shown[1]} to {shown[2]} ({blocks(n)}{going})."
    return Figure(value=value, low=low, high=high, n=n, unfinished=unfinished, sentence=sentence)


def priced(before: str, ends: tuple[float, float, float], currency: str, n: int, ground: str = "") -> Figure:
    """The same for money, to the hundredth; `ground` is a sentence that follows."""
    value, low, high = ends
    unit = f" {currency}" if currency else ", currency not noted"
    sentence = f"{before} {value:.2f}{unit}, likely {low:.2f} to {high:.2f} ({blocks(n)}). {ground}".rstrip()
    return Figure(value=value, low=low, high=high, n=n, unfinished=0, sentence=sentence)


def no_yield(theirs: Sequence[Standing], unit: Unit) -> Figure:
    """Why nothing can be said of the yield of these blocks, none of which entered it."""
    failed = sum(each.fate == "failed" for each in theirs)
    finished = sum(bool(each.after) for each in theirs)
    if finished:
        return unsaid(
            f"{blocks(finished)} gave a flush but came without a mass to set it against: weigh the next on arrival."
        )
    if failed:
        return unsaid(f"{failed} of {blocks(len(theirs))} gave nothing, and none has finished a flush.")
    return unsaid("No block has finished a flush yet.")


def failure_share(failed: int, known: int, ends: tuple[float, float, float]) -> Figure:
    """Share of blocks that give nothing: (value, low, high) from 0 to 1."""
    if not known:
        return unsaid("No block has shown yet whether it gives.")
    value, low, high = ends
    sentence = (
        f"{failed} of {blocks(known)} gave nothing;"
        f" in the long run likely {low * 100:.0f} to {high * 100:.0f} %."
    )
    return Figure(value=value, low=low, high=high, n=known, unfinished=0, sentence=sentence)


def of_pair(
    first: str,
    second: str,
    chance: float,
    verdict: Verdict,
    known: tuple[int, int],
    alike: bool,
    priors: Priors,
) -> str:
    """What can be said of two suppliers; `known` are the blocks of each that gave or failed."""
    if min(known) < priors.fewest:
        count = f"{blocks(known[0])} each" if known[0] == known[1] else f"{known[0]} and {blocks(known[1])}"
        return f"Too early to tell: {count} from {first} and {second}; both need {priors.fewest}."
    leans = "" if alike else " They share no variety: this leans on what is usual of each."
    better, other = (first, second) if chance >= 0.5 else (second, first)
    odds = f"{min(max(chance, 1 - chance) * 100, 99):.0f} in 100"
    if verdict == "cannot tell yet":
        return f"Cannot tell yet: {better} gives more than {other} with a chance of {odds}.{leans}"
    return f"{better} gives more than {other}: the chance is {odds}.{leans}"


def on_top(pairs: Sequence[Pair], suppliers: int, received: int, picked: int) -> str:
    """What stands above the whole comparison; `picked` counts the blocks that gave anything.

    Of several pairs the surest claim; where none can be told yet, the pair that is nearest to it.
    """
    if received == 0:
        return "No blocks to compare yet."
    if picked == 0:
        return f"Nothing was picked from {blocks(received)} yet: there is no yield to compare."
    if suppliers == 1:
        return f"{blocks(received)} of one supplier: there is nobody to compare with."
    if not pairs:
        return "No finished flush can be set against a block's mass yet: there is no yield to compare."
    return surest(pairs).times.sentence


def surest(pairs: Sequence[Pair]) -> Pair:
    """The pair that most can be said of; needs one."""
    return max(pairs, key=lambda p: (p.verdict != "cannot tell yet", p.enough, abs(p.chance - 0.5)))


def of_prices(first: SupplierFigures, second: SupplierFigures, one_variety: bool) -> str:
    """Who costs less per fresh kilogram; "" where not both prices are known, in one currency.

    Said only where the intervals of the two prices lie apart, which is stricter than the chance a yield needs: each price
    is that of what its supplier sold, so the two have no common mix of varieties in which to tell their difference.
    """
    cheap, dear = sorted((first, second), key=lambda each: each.price_per_kg_fresh.value or 0.0)
    less, more = cheap.price_per_kg_fresh, dear.price_per_kg_fresh
    if less.value is None or more.value is None or cheap.currency != dear.currency:
        return ""
    if less.low is None or less.high is None or more.low is None or more.high is None:
        return ""
    unit = f" {cheap.currency}" if cheap.currency else ""
    mixed = "" if one_variety else " Each at what it sold you: choose one variety to compare like with like."
    if less.high < more.low:
        return (
            f"Per fresh kilogram {cheap.supplier} costs less:"
            f" {less.value:.2f}{unit} against {more.value:.2f} from {dear.supplier}.{mixed}"
        )
    return (
        f"Per fresh kilogram prices overlap: cannot tell. {cheap.supplier} likely {less.low:.2f} to {less.high:.2f}{unit},"
        f" {dear.supplier} {more.low:.2f} to {more.high:.2f}.{mixed}"
    )
