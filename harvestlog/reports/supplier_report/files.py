"""A report's files, made from its snapshot each time they are asked for."""

import re
import unicodedata
from typing import Literal

from django.http import HttpResponse

from harvestlog.reports.models import SupplierReport
from harvestlog.reports.supplier_report.page import POLICY, report_page
from harvestlog.reports.supplier_report.pdf import report_pdf
from harvestlog.reports.supplier_report.pictures import pictures_of
from harvestlog.reports.supplier_report.shape import Snapshot
from harvestlog.reports.supplier_report.sheet import sheet_of
from harvestlog.reports.supplier_report.tables import report_zip

FileName = Literal["report.pdf", "report.html", "report.zip"]
TYPES: dict[FileName, str] = {
    "report.pdf": "application/pdf",
    "report.html": "text/html; charset=utf-8",
    "report.zip": "application/zip",
}


def file_answer(report: SupplierReport, name: FileName) -> HttpResponse:
    """The file, to be kept under a name of its own."""
    ending = name.rpartition(".")[2]
    answer = HttpResponse(_made(report, name), content_type=TYPES[name])
    answer["Content-Disposition"] = f'attachment; filename="{_file_name(report)}.{ending}"'
    answer["Cache-Control"] = "private, no-store"
    if name == "report.html":
        answer.headers["Content-Security-Policy"] = POLICY
    return answer


def page_of(report: SupplierReport, files: str = "") -> bytes:
    """The page; `files` is the address under which its PDF and tables are found."""
    sheet = sheet_of(Snapshot.model_validate(report.snapshot))
    return report_page(sheet, pictures_of(report.farm_id, sheet.pictures), files)


def _made(report: SupplierReport, name: FileName) -> bytes:
    if name == "report.html":
        return page_of(report)
    seen = Snapshot.model_validate(report.snapshot)
    if name == "report.zip":
        return report_zip(seen)
    sheet = sheet_of(seen)
    return report_pdf(sheet, pictures_of(report.farm_id, sheet.pictures), seen.made)


def _file_name(report: SupplierReport) -> str:
    """yield-report-three-larches-2026-05-20: plain letters, which every system takes."""
    plain = unicodedata.normalize("NFKD", report.supplier_name).encode("ascii", "ignore").decode().lower()
    supplier = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
    return "-".join(filter(None, ("yield-report", supplier, report.snapshot["day"])))
