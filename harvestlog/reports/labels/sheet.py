"""Labels for jars as a PDF to print on a self-adhesive sheet: what is in it, since when, and its page in the app as a QR code."""

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, time
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal
from uuid import UUID

import segno

from harvestlog.accounts.access import Member
from harvestlog.accounts.refusals import Refused
from harvestlog.blocks.models import Variety
from harvestlog.keeping.models import Jar
from harvestlog.reports.paper.letters import printable
from harvestlog.reports.paper.typesetter import typeset
from harvestlog.reports.queries import standing
from harvestlog.reports.wording import NO_BREAK, day_words, grams, straight

ON_A_SHEET = 24
MOST_JARS = 10 * ON_A_SHEET  # setting them takes seconds
TEMPLATE = Path(__file__).with_name("labels.typ")


@dataclass(frozen=True)
class LabelWords:
    """What one label says. No word of how long it keeps, but the grower's own day."""

    code: str
    what: str
    mass: str
    cut: str
    days: list[str]
    qr: str


def jars_wanted(member: Member, wanted: Sequence[UUID]) -> list[Jar]:
    """The jars in the order asked for. Raises Refused (422) where one is not here."""
    found = {row.uuid: row for row in standing(Jar, member).filter(uuid__in=set(wanted))}
    missing = len(set(wanted)) - len(found)
    if missing:
        words = "1 jar is" if missing == 1 else f"{missing} jars are"
        message = f"{words} not on the server. Send what is on your phone first, then print."
        raise Refused(422, "invalid", message, errors=[{"field": "jars", "reason": message}])
    return [found[each] for each in wanted]


def label_words(member: Member, jars: Sequence[Jar], origin: str) -> list[LabelWords]:
    varieties = {row.uuid: row.name for row in standing(Variety, member)}
    return [_words(jar, varieties.get(jar.variety, "") if jar.variety else "", origin) for jar in jars]


def _words(jar: Jar, variety: str, origin: str) -> LabelWords:
    days = [f"Packed {day_words(jar.packed, short=True)}"]
    if jar.best_before is not None:
        days.append(f"Best before {day_words(jar.best_before, short=True)}")
    return LabelWords(
        code=straight(jar.label),
        what=straight(jar.what or variety or "Dried mushrooms"),
        mass=grams(jar.dry_g).replace(" ", NO_BREAK),
        cut=jar.cut,
        days=days,
        qr=qr_picture(f"{origin}/#/jar/{jar.uuid}"),
    )


def qr_picture(text: str) -> str:
    """SVG with the quiet zone of four modules that readers look for (ISO/IEC 18004)."""
    # Error level M: a seventh of it may be smeared.
    code = segno.make(text, micro=False, error="m", boost_error=False)
    picture = BytesIO()
    code.save(picture, kind="svg", border=4, omitsize=True, xmldecl=False, nl=False)
    return picture.getvalue().decode()


def labels_sheet(
    words: Sequence[LabelWords], start: int, made: datetime, form: Literal["pdf", "png"] = "pdf"
) -> bytes:
    """The sheets, the first label at place `start`, 1 to 24, of a sheet begun before. `made`: the only time in the file."""
    told, letters = printable({"start": start, "jars": [asdict(one) for one in words]})
    borrowed = bool(letters.borrowed)
    with TemporaryDirectory(prefix="harvestlog-labels-") as folder:
        sheet = {"sheet": json.dumps(told)}
        return typeset(TEMPLATE, sheet, made, folder=folder, machine_fonts=borrowed, form=form)


def packed_last(jars: Sequence[Jar]) -> datetime:
    """A time for the file that is the same whenever it is made again."""
    return datetime.combine(max(jar.packed for jar in jars), time(), UTC)
