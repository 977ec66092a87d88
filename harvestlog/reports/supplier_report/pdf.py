"""The yield report as a PDF."""

import json
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from harvestlog.reports.paper.letters import Letters
from harvestlog.reports.paper.typesetter import typeset
from harvestlog.reports.supplier_report.sheet import Sheet
from harvestlog.reports.supplier_report.words import each_text

TEMPLATE = Path(__file__).with_name("report.typ")


def report_pdf(sheet: Sheet, pictures: dict[str, bytes], made: datetime) -> bytes:
    """`made` is the only time in the file. Not to be called inside a database transaction, which it would hold up."""
    words = _words(sheet, pictures)
    # The folder is all that the typesetter may read. Words go in as data: they are never part of the source.
    with TemporaryDirectory(prefix="harvestlog-report-") as folder:
        for sha256, picture in pictures.items():
            (Path(folder) / f"{sha256}.jpg").write_bytes(picture)
        return typeset(TEMPLATE, {"sheet": words}, made, folder=folder)


def _words(sheet: Sheet, pictures: dict[str, bytes]) -> str:
    """The sheet in letters that the typefaces have."""
    letters = Letters()
    told: dict[str, Any] = each_text(asdict(sheet), letters.printable)
    for picture in told["pictures"]:
        picture["here"] = picture["sha256"] in pictures
    told["missing"] = letters.said()
    return json.dumps(told)
