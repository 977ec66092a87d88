"""What a yield report says in words, above all where the figures are few."""

from collections.abc import Sequence

from harvestlog.calc.suppliers import few_words
from harvestlog.reports.supplier_report.shape import BlockSeen, Counts, DeliverySeen, Middle, VarietySeen
from harvestlog.reports.wording import some

MOST_NAMED = 12


def sentences(
    supplier: str,
    counts: Counts,
    middle: Middle | None,
    deliveries: Sequence[DeliverySeen],
    varieties: Sequence[VarietySeen],
) -> list[str]:
    """The summary above the tables, one fact a sentence, the most telling first."""
    if not deliveries:
        return [f"No delivery from {supplier} was received in the chosen days."]
    said = [_received(deliveries)]
    if counts.recorded:
        said += [_yield(counts, middle, varieties), *_early(deliveries, varieties)]
        said += [*_failed(counts, middle, varieties), *_open(counts, varieties)]
        said += [*_trouble(counts), *_efficiency(varieties)]
    return [sentence for sentence in said if sentence]


def _received(deliveries: Sequence[DeliverySeen]) -> str:
    came, recorded = sum(d.count for d in deliveries), sum(d.counts.recorded for d in deliveries)
    said = f"{some(len(deliveries), 'delivery', 'deliveries')} brought {some(came, 'block')}"
    if recorded == 0:
        return f"{said}; none is recorded one by one yet, so nothing can be said of what they gave."
    if any(d.counts.recorded > d.count for d in deliveries):
        return f"{said}. Of a delivery more blocks are recorded than came: one of its two counts is wrong."
    if recorded < came:
        return f"{said}; {recorded} of them are recorded one by one, and the figures are of those."
    return f"{said}; every one is recorded here."


def _yield(counts: Counts, middle: Middle | None, varieties: Sequence[VarietySeen]) -> str:
    if counts.finished == 0:
        return "No block is finished yet, so no typical yield can be stated."
    if counts.failed == counts.finished:
        return ""  # which the next sentence says, with their labels
    if len(varieties) > 1 and any(row.g_per_kg_wet for row in varieties):
        return "What the finished blocks gave stands by variety below; one figure over all would compare unlike things."
    if middle is None:
        return ""  # the next sentences say why
    known = " with a known wet mass" if middle.n < counts.finished else ""
    return (
        f"The median of {middle.n} finished blocks{known} is {middle.median:.0f} g fresh per kg of wet block; "
        f"the lowest gave {middle.low:.0f} g, the highest {middle.high:.0f} g."
    )


def _early(deliveries: Sequence[DeliverySeen], varieties: Sequence[VarietySeen]) -> list[str]:
    """Where finished blocks are too few for a median: each of them, and what the others gave so far."""
    said = []
    for row in varieties:
        counts = row.counts
        told_below = counts.failed == counts.finished and counts.unfinished == 0
        if counts.finished == 0 or row.g_per_kg_wet or told_below:
            continue
        words = _few([b for d in deliveries for b in d.blocks if b.variety == row.name])
        named = f"{row.name or 'Variety not known'}: {words}" if len(varieties) > 1 else words
        said.append(f"{named[0].upper()}{named[1:]}.")
    return said


def _few(blocks: Sequence[BlockSeen]) -> str:
    gave = [block for block in blocks if block.outcome == "finished"]
    giving = [block for block in blocks if block.outcome == "unfinished" and block.fresh_g > 0]
    return few_words(
        gave=_per_kg(gave),
        failed=sum(block.outcome == "failed" for block in blocks),
        unweighed=sum(block.g_per_kg_wet is None for block in gave),
        so_far=_per_kg(giving),
        giving=len(giving),
        waiting=sum(block.outcome == "unfinished" for block in blocks) - len(giving),
    )


def _per_kg(blocks: Sequence[BlockSeen]) -> list[float]:
    return sorted(block.g_per_kg_wet for block in blocks if block.g_per_kg_wet is not None)


def _failed(counts: Counts, middle: Middle | None, varieties: Sequence[VarietySeen]) -> list[str]:
    if counts.failed == 0:
        return []
    failed = [label for row in varieties for label in row.failed]
    named = ", ".join(failed[:MOST_NAMED])
    if len(failed) > MOST_NAMED:
        named += f" and {len(failed) - MOST_NAMED} more"
    counted = " In the median they stand as 0." if middle is not None and middle.n == counts.finished else ""
    if counts.failed < counts.finished:
        return [
            f"{counts.failed} of {some(counts.finished, 'finished block')} gave nothing: {named}.{counted}"
        ]
    all_of_them = (
        "The one finished block" if counts.finished == 1 else f"All {counts.finished} finished blocks"
    )
    return [f"{all_of_them} gave nothing: {named}."]


def _open(counts: Counts, varieties: Sequence[VarietySeen]) -> list[str]:
    if counts.unfinished == 0 or counts.finished == 0:
        return []
    verb, they = ("is", "it") if counts.unfinished == 1 else ("are", "they")
    median = ", but not in the median" if any(row.g_per_kg_wet for row in varieties) else ""
    return [
        f"{some(counts.unfinished, 'block')} {verb} not finished: listed with what {they} gave so far{median}."
    ]


def _trouble(counts: Counts) -> list[str]:
    if counts.contaminated == 0:
        return []
    return [f"Contamination was noted on {counts.contaminated} of {some(counts.recorded, 'block')}."]


def _efficiency(varieties: Sequence[VarietySeen]) -> list[str]:
    finished = sum(row.counts.finished for row in varieties)
    known = sum(row.efficiency_pct.n for row in varieties if row.efficiency_pct)
    if finished == 0 or known == finished:
        return []
    if known == 0:
        return ["Biological efficiency is not stated: the dry mass of no finished block is known."]
    return [
        f"Biological efficiency is stated for the {known} of {finished} finished blocks whose dry mass is known."
    ]
