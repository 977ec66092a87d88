"""What a yield report says in words, above all where the figures are few."""

from collections.abc import Sequence
from datetime import date

from harvestlog.reports.supplier_report.shape import Counts, DeliverySeen, Middle, VarietySeen

MOST_NAMED = 12
_MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]


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
        said += [_yield(counts, middle, varieties), *_failed(counts, middle, varieties), *_open(counts)]
        said += [*_trouble(counts), *_efficiency(varieties)]
    return [sentence for sentence in said if sentence]


def day_words(day: date, *, short: bool = False) -> str:
    """4 May 2026: the same to every reader, whichever way round they write the numbers."""
    return f"{_day_and_month(day, short)} {day.year}"


def period_words(since: date, until: date, *, short: bool = False) -> str:
    """Both days, with month and year said once where they are the same."""
    last = day_words(until, short=short)
    if since == until:
        return last
    if since.year != until.year:
        return f"{day_words(since, short=short)} to {last}"
    if since.month != until.month:
        return f"{_day_and_month(since, short)} to {last}"
    return f"{since.day} to {last}"


def some(n: int, noun: str, plural: str = "") -> str:
    """1 block, 2 blocks."""
    return f"{n} {noun}" if n == 1 else f"{n} {plural or noun + 's'}"


def _day_and_month(day: date, short: bool) -> str:
    month = _MONTHS[day.month - 1]
    return f"{day.day} {month[:3] if short else month}"


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
        return (
            "The one finished block gave nothing."
            if counts.finished == 1
            else f"All {counts.finished} finished blocks gave nothing."
        )
    if len(varieties) > 1:
        return "What the finished blocks gave stands by variety below; one figure over all would compare unlike things."
    if middle is None:
        return "No finished block has a wet mass, so no yield per kilogram can be stated."
    if middle.n == 1:
        return f"One finished block with a known wet mass gave {middle.median:.0f} g per kg of wet block; one says little."
    known = " with a known wet mass" if middle.n < counts.finished else ""
    return (
        f"The median of {middle.n} finished blocks{known} is {middle.median:.0f} g fresh per kg of wet block; "
        f"the lowest gave {middle.low:.0f} g, the highest {middle.high:.0f} g."
    )


def _failed(counts: Counts, middle: Middle | None, varieties: Sequence[VarietySeen]) -> list[str]:
    if counts.failed == 0:
        return []
    failed = [label for row in varieties for label in row.failed]
    named = ", ".join(failed[:MOST_NAMED])
    if len(failed) > MOST_NAMED:
        named += f" and {len(failed) - MOST_NAMED} more"
    counted = " In the median they stand as 0." if middle is not None and middle.n == counts.finished else ""
    return [f"{counts.failed} of {some(counts.finished, 'finished block')} gave nothing: {named}.{counted}"]


def _open(counts: Counts) -> list[str]:
    if counts.unfinished == 0 or counts.finished == 0:
        return []
    verb = "is" if counts.unfinished == 1 else "are"
    return [
        f"{some(counts.unfinished, 'block')} {verb} not finished: listed with what they gave so far, but not in the median."
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
