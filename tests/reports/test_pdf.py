"""The renderings of a report: what people typed stays text, and the same snapshot gives the same bytes."""

import hashlib
import json
import re
from base64 import b64decode
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from django.core.files.storage import default_storage
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]
from pypdf import PdfReader

from harvestlog.photos.actions import keep_own_picture
from harvestlog.photos.models import PhotoFile
from harvestlog.reports.paper import letters
from harvestlog.reports.paper.letters import Letters, has
from harvestlog.reports.paper.typesetter import FONTS, letters_here
from tests.cast import Cast
from tests.photos.camera import snapshot as photograph
from tests.reports.reported import file, made, pdf_text, season, zip_text
from tests.reports.yard import Yard

HOSTILE = (
    '#import "x": *',
    "$ x $ *bold* _it_ `raw` @ref",
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "#sys.inputs \\u{41} // = - + /* <label> ~",
    "{{ sheet }} {% now %} &amp;",
    "W" * 80,  # no blank to break a line at
)


@pytest.fixture
def with_photo(cast: Cast) -> str:
    """A report with two ticked pictures; of the second nothing has arrived."""
    picture = photograph(400, 300)
    sha256 = hashlib.sha256(picture).hexdigest()
    keep_own_picture(farm=cast.farm.id, sha256=sha256, picture=picture)
    yard = Yard(cast.owner)
    supplier = yard.supplier("Three Larches")
    block = yard.block(yard.delivery(supplier), yard.variety())
    photos = [
        yard.add(
            "photo", block=block, stage="trouble", taken="2026-05-03T07:00:00Z",
            sha256=named, thumb_sha256="b" * 64, width=400, height=300,
        )
        for named in (sha256, "c" * 64)
    ]  # fmt: skip
    yard.sent()
    return str(made(cast.owner, supplier, photos=photos)["id"])


class Page(HTMLParser):
    """What a browser would find in a page."""

    def __init__(self, page: bytes) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(page.decode())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.mark.parametrize("name", HOSTILE)
def test_what_people_typed_stays_text_in_the_pdf(cast: Cast, name: str) -> None:
    supplier = season(cast.owner, supplier=name, variety=name, lot=name[:60])
    text = pdf_text(file(cast.owner, made(cast.owner, supplier)["id"], "pdf"))
    assert text.replace(" ", "").count(name.replace(" ", "")) >= 3


@pytest.mark.parametrize("name", HOSTILE)
def test_what_people_typed_stays_text_on_the_page(cast: Cast, name: str) -> None:
    plain = Page(file(cast.owner, made(cast.owner, season(cast.owner))["id"], "html"))
    supplier = season(cast.owner, supplier=name, variety=name, lot=name[:60])
    page = Page(file(cast.owner, made(cast.owner, supplier)["id"], "html"))
    assert page.text.count(name) >= 3
    assert [tag for tag, _ in page.tags] == [tag for tag, _ in plain.tags]


def test_text_that_looks_like_a_formula_is_neutralised_in_the_tables(cast: Cast) -> None:
    supplier = season(cast.owner, variety='=HYPERLINK("x")', lot="@SUM(1)")
    tables = zip_text(file(cast.owner, made(cast.owner, supplier)["id"], "zip"))
    assert "'@SUM(1)" in tables
    assert "\"'=HYPERLINK(" in tables


def test_marks_of_direction_do_not_turn_the_words_around_a_name(cast: Cast) -> None:
    supplier = season(cast.owner, supplier="Larches\u202e\u2066 gro\u200f")
    report = made(cast.owner, supplier)["id"]
    assert "Larches gro" in pdf_text(file(cast.owner, report, "pdf"))
    page = file(cast.owner, report, "html").decode()
    assert "\u202e" not in page
    assert "<bdi>Larches gro\u200f</bdi>" in page


@pytest.mark.parametrize("name", ["Грибная ферма", "Μανιτάρια", "Trại Rơm", "Łąka Grzyby"])
def test_names_in_other_alphabets_stand_in_the_pdf(cast: Cast, name: str) -> None:
    report = made(cast.owner, season(cast.owner, supplier=name))["id"]
    text = pdf_text(file(cast.owner, report, "pdf"))
    assert name in text
    assert "typefaces lack" not in text


@pytest.fixture
def bare_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without a typeface of its own."""
    monkeypatch.setattr(letters, "letters_here", lambda _: frozenset())


@pytest.mark.usefixtures("bare_machine")
@pytest.mark.parametrize("name", ["木村きのこ園", "فطر", "🍄 Farm", "\ue000\U0010ffff"])
def test_letters_that_the_typefaces_lack_are_stood_in_for_and_admitted(cast: Cast, name: str) -> None:
    report = made(cast.owner, season(cast.owner, supplier=name))["id"]
    text = pdf_text(file(cast.owner, report, "pdf"))
    assert f"U+{ord(name[0]):04X}" in text
    assert "which stand as ?" in text
    assert name in file(cast.owner, report, "html").decode()


@pytest.mark.skipif("ف" not in letters_here("ف"), reason="this machine has no typeface with Arabic letters")
def test_letters_that_only_the_machine_has_are_set_in_its_typefaces(cast: Cast) -> None:
    """A private letter beside them, which no typeface has, stands as ? and takes none of them with it."""
    report = made(cast.owner, season(cast.owner, supplier="فطر \ue123"))["id"]
    pdf = file(cast.owner, report, "pdf")
    text = pdf_text(pdf)
    assert "which stand as ? (U+E123)" in text
    assert "U+0641" not in text
    assert len(typefaces(pdf)) > 2


def test_where_our_typefaces_do_the_machine_is_not_asked(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(letters, "letters_here", None)
    report = made(cast.owner, season(cast.owner, supplier="Łąka"))["id"]
    assert {"AtkinsonHyperlegible-Regular", "AtkinsonHyperlegible-Bold"} >= typefaces(
        file(cast.owner, report, "pdf")
    )


def typefaces(pdf: bytes) -> set[str]:
    """Names of the typefaces inside, without the mark of the subset."""
    pages: Any = PdfReader(BytesIO(pdf)).pages
    return {
        str(font.get_object()["/BaseFont"]).split("+")[-1]
        for page in pages
        for font in page["/Resources"].get("/Font", {}).values()
    }


def test_the_list_of_letters_is_that_of_the_typefaces() -> None:
    def of(*files: str) -> set[int]:
        return set.intersection(*(set(TTFont(FONTS / file).getBestCmap()) for file in files))

    both = of("AtkinsonHyperlegible-Regular.ttf", "AtkinsonHyperlegible-Bold.ttf")
    both |= of("NotoSans-Regular.ttf", "NotoSans-Bold.ttf")
    assert {code for code in range(0x20, 0x30000) if has(chr(code))} == {
        code for code in both if code >= 0x20
    }


def test_a_letter_made_of_two_is_printed_as_one() -> None:
    assert Letters().printable("e\u0301") == "é"


def test_the_pdf_is_tagged_and_carries_its_typefaces(cast: Cast, with_photo: str) -> None:
    reader = PdfReader(BytesIO(file(cast.owner, with_photo, "pdf")))
    root: Any = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"].value is True
    assert root["/Lang"] == "en-GB"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value is True
    assert b"<pdfuaid:part>1<" in root["/Metadata"].get_data()
    pages: list[Any] = list(reader.pages)
    fonts = [font for page in pages for font in page["/Resources"]["/Font"].values()]
    embedded = [font["/DescendantFonts"][0]["/FontDescriptor"].get("/FontFile2") for font in fonts]
    assert embedded
    assert all(embedded)


def test_every_picture_has_words_for_who_cannot_see_it(cast: Cast, with_photo: str) -> None:
    said = "Photo of block 2 2 2 2 2, trouble, taken on 3 May 2026"
    reader = PdfReader(BytesIO(file(cast.owner, with_photo, "pdf")))
    root: Any = reader.trailer["/Root"]
    assert said in list(alternatives(root["/StructTreeRoot"]))
    images = [own for tag, own in Page(file(cast.owner, with_photo, "html")).tags if tag == "img"]
    assert [(own["alt"], str(own["src"])[:23]) for own in images] == [(said, "data:image/jpeg;base64,")]


def alternatives(node: Any) -> Any:
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        for each in node:
            yield from alternatives(each)
    elif isinstance(node, dict):
        if "/Alt" in node:
            yield str(node["/Alt"])
        yield from alternatives(node.get("/K", []))


def test_a_picture_that_has_not_arrived_is_said_to_be_missing(cast: Cast, with_photo: str) -> None:
    for text in (
        pdf_text(file(cast.owner, with_photo, "pdf")),
        file(cast.owner, with_photo, "html").decode(),
    ):
        assert text.count("This picture is missing on the server.") == 1


@pytest.mark.parametrize("damage", [b"", b"rust", b"\xff\xd8\xff\xe0rust"])
def test_a_picture_that_was_damaged_on_the_disk_keeps_nobody_from_reading(
    cast: Cast, with_photo: str, damage: bytes
) -> None:
    for kept in PhotoFile.objects.all():
        Path(default_storage.path(kept.name)).write_bytes(damage)
    page = file(cast.owner, with_photo, "html").decode()
    assert page.count("This picture is missing on the server.") == 2
    assert file(cast.owner, with_photo, "pdf").startswith(b"%PDF-")


@pytest.mark.parametrize("ending", ["pdf", "html", "zip"])
def test_the_same_report_gives_the_same_bytes(cast: Cast, with_photo: str, ending: str) -> None:
    assert file(cast.owner, with_photo, ending) == file(cast.owner, with_photo, ending)


def test_the_page_needs_nothing_else_and_runs_nothing(cast: Cast, with_photo: str) -> None:
    page = file(cast.owner, with_photo, "html")
    found = Page(page)
    assert "script" not in {tag for tag, _ in found.tags}
    assert not [own for _, own in found.tags if "style" in own or any(name.startswith("on") for name in own)]
    assert not re.findall(rb"https?://|url\(|@import", page)
    assert ("html", {"lang": "en-GB"}) in found.tags
    assert [tag for tag, _ in found.tags].count("caption") == [tag for tag, _ in found.tags].count("table")


def test_the_pages_one_style_is_the_one_its_policy_names(cast: Cast, with_photo: str) -> None:
    answer = cast.owner.phone.get(f"/api/reports/supplier-reports/{with_photo}/report.html")
    style = re.search(rb"<style>(.*)</style>", answer.content, re.DOTALL)
    assert style is not None
    named = re.search(r"'sha256-([^']+)'", answer["Content-Security-Policy"])
    assert named is not None
    assert hashlib.sha256(style[1]).digest().hex() == b64decode(named[1]).hex()


def test_the_tables_agree_with_their_descriptor(cast: Cast) -> None:
    report = made(cast.owner, season(cast.owner))["id"]
    with ZipFile(BytesIO(file(cast.owner, report, "zip"))) as opened:
        told = json.loads(opened.read("datapackage.json"))
        for resource in told["resources"]:
            rows = opened.read(resource["path"]).decode().split("\r\n")
            assert rows[0].split(",") == [field["name"] for field in resource["schema"]["fields"]]
        flushes = opened.read("flushes.csv").decode().split("\r\n")
    assert flushes[1] == "1,22222,1,500.0,2026-05-04,2026-05-04,1"


def test_a_file_is_kept_under_a_name_of_plain_letters(cast: Cast) -> None:
    report = made(cast.owner, season(cast.owner, supplier="Žofie & Söhne\u202e/../x"))["id"]
    answer = cast.owner.phone.get(f"/api/reports/supplier-reports/{report}/report.pdf")
    assert re.fullmatch(
        r'attachment; filename="yield-report-zofie-sohne-x-\d{4}-\d\d-\d\d\.pdf"',
        answer["Content-Disposition"],
    )
