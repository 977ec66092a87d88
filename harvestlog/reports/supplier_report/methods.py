"""How the figures of a yield report come about: kept in each snapshot, so that a report goes on saying how it was made."""

from harvestlog.reports.supplier_report.shape import MethodNote

_NOTES = (
    (
        "Fresh mass",
        "The sum of all picks of a block, weighed fresh in grams on the grower's scale and never estimated. The scale "
        "step is the coarsest that was noted for the block's picks. A flush is the sum of the picks that the grower "
        "counted to it; its days are those of its first and last pick.",
    ),
    (
        "Whole or trimmed",
        "Whose stem ends were cut off before weighing is marked trimmed. In one published trial the trimmed yield was "
        "94 to 96 % of the whole (PMC7407021, table 2). Nothing here is converted from one to the other.",
    ),
    (
        "Grams per kg wet",
        "Fresh mass in grams divided by the mass of the block in kilograms as it arrived, water included. Needs no "
        "knowledge of dry matter, so it compares blocks of one kind of substrate only. Common practice, no source.",
    ),
    (
        "Biological efficiency (BE)",
        "100 x fresh mass, all flushes summed, divided by the dry mass of the substrate, in %. The trade's definition, "
        "as used by Jatwa et al. 2016, J Pure Appl Microbiol 10(4):2783-2792. More than 100 % is usual. It is "
        "stated only where the dry mass is known; where the moisture is assumed between two values, both ends are "
        "given. Dry mass = wet mass x (100 - moisture) / 100, moisture in % of the wet mass.",
    ),
    (
        "Finished, failed, unfinished",
        "A block is finished once the grower noted it spent or discarded. A finished block that never gave a gram has "
        "failed; where its wet mass is known, it stands in the median as 0. A block that is still growing is unfinished: "
        "its picks so far are listed, and it is left out of the median, where it would pass for a poor one.",
    ),
    (
        "Median and spread",
        "The middle value of the finished blocks with a known wet mass, with the lowest, the highest and their number n. "
        "For BE each block counts with the middle of its range. With few blocks these say little about the next lot. "
        "No median is given under three finished blocks, nor where the middle one failed while others still grow.",
    ),
    (
        "Days to first harvest",
        "Calendar days from opening, or from delivery where no opening was noted, to the first pick. Unfinished blocks "
        "that have given something count; blocks without a pick cannot.",
    ),
    (
        "Soaking",
        "Hours in water as noted. The sum is left out where the end of a soak was not noted.",
    ),
    (
        "Room conditions",
        "Temperature and relative humidity as noted by hand or read off at moments of the grower's choosing, in the "
        "places where these blocks stood, while they stood there: lowest, median, highest and number of readings. "
        "They are no continuous record.",
    ),
    (
        "Left out",
        "People, prices, notes, the names of places, other suppliers and pictures that were not chosen.",
    ),
)


def method_notes() -> list[MethodNote]:
    return [MethodNote(term=term, text=text) for term, text in _NOTES]
