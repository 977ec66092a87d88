"""The yield report as a PDF."""

import json
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from harvestlog.reports.paper.letters import printable
from harvestlog.reports.paper.typesetter import typeset
from harvestlog.reports.supplier_report.sheet import Sheet

TEMPLATE = Path(__file__).with_name("report.typ")


def report_pdf(sheet: Sheet, pictures: dict[str, bytes], made: datetime) -> bytes:
    """`made` is the only time in the file. Not to be called inside a database transaction, which it would hold up."""
    told, letters = printable(asdict(sheet))
    for picture in told["pictures"]:
        picture["here"] = picture["sha256"] in pictures
    words = json.dumps(told | {"missing": letters.said()})
    # The folder is all that the typesetter may read. Words go in as data: they are never part of the source.
    with TemporaryDirectory(prefix="harvestlog-report-") as folder:
        for sha256, picture in pictures.items():
            (Path(folder) / f"{sha256}.jpg").write_bytes(picture)
        borrowed = bool(letters.borrowed)
        return typeset(TEMPLATE, {"sheet": words}, made, folder=folder, machine_fonts=borrowed)
