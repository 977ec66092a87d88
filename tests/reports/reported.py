"""A supplier's season to report on, and the ways to ask for the report, for the tests of reports and their links."""

from io import BytesIO
from typing import Any
from uuid import uuid4
from zipfile import ZipFile

from pypdf import PdfReader

from tests.cast import Actor, Browser
from tests.reports.yard import Yard

REPORTS = "/api/reports/supplier-reports"
Json = dict[str, Any]


def season(actor: Actor, **names: str) -> str:
    """One supplier, one delivery of three blocks: one gave two flushes, one failed, one is fruiting. Its id."""
    yard = Yard(actor)
    supplier = yard.supplier(names.get("supplier", "Three Larches"))
    variety = yard.variety(names.get("variety", "Grey oyster"), species="pleurotus-ostreatus")
    delivery = yard.delivery(supplier, count=3, lot=names.get("lot", "L-2204"))
    basis = {"dry_basis": "assumed", "moisture_low_pct": 60, "moisture_high_pct": 70}
    yard.finished(delivery, variety, 500, 250, label="22222", **basis)
    failed = yard.block(delivery, variety, label="8H7TK")
    yard.happened(failed, "contamination", "2026-05-02T07:00:00Z", contamination="green_mould")
    yard.happened(failed, "discarded", "2026-05-03T07:00:00Z")
    yard.pick(yard.block(delivery, variety, label="HW4FZ"), 300)
    yard.sent()
    return supplier


def wanted(supplier: str, **other: Any) -> Json:
    return {"id": str(uuid4()), "supplier": supplier, **other}


def made(actor: Actor, supplier: str, **other: Any) -> Json:
    """A report made over HTTP: its row."""
    answer = actor.phone.post(REPORTS, wanted(supplier, **other))
    assert answer.status_code == 201, answer.content
    row: Json = answer.json()
    return row


def snapshot(actor: Actor, supplier: str, **other: Any) -> Json:
    told: Json = actor.phone.get(f"{REPORTS}/{made(actor, supplier, **other)['id']}").json()
    return told


def file(actor: Actor, report: str, ending: str) -> bytes:
    answer = actor.phone.get(f"{REPORTS}/{report}/report.{ending}")
    assert answer.status_code == 200, answer.content
    return answer.content


def pdf_text(pdf: bytes) -> str:
    """The words of a PDF, one blank between them, without the marks of where a long one may be broken."""
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return " ".join(text.replace("\u200b", "").split())


def zip_text(archive: bytes) -> str:
    with ZipFile(BytesIO(archive)) as opened:
        return "\n".join(opened.read(name).decode() for name in sorted(opened.namelist()))


def shared(actor: Actor, report: str, **days: int) -> Json:
    answer = actor.phone.post(f"{REPORTS}/{report}/shares", days)
    assert answer.status_code == 201, answer.content
    told: Json = answer.json()
    return told


def everybody() -> Browser:
    """Somebody with nothing but a link."""
    return Browser()
