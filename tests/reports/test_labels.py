"""Labels for jars: who may print which, what they say, and where their codes lead."""

from datetime import UTC, datetime
from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
import segno
from PIL import Image
from pypdf import PdfReader

from harvestlog.reports.labels.sheet import LabelWords, labels_sheet, qr_picture
from tests.cast import Actor, Browser, Cast
from tests.sync.farms import phone_of

MADE = datetime(2026, 5, 8, tzinfo=UTC)
ADDRESS = "https://farm.example.org/#/jar/0196a000-0000-7000-8000-000000000007"
DOTS_PER_MM = 144 / 25.4  # the typesetter's pictures have 144 dots to the inch
# Of the first label, from the left and the top edge of the paper, in mm: its code with the quiet zone around it.
CODE_LEFT, CODE_TOP, CODE_SIDE = 6.5 + 64 - 3 - 25, 12.9 + (33.9 - 25) / 2, 25


def jar(actor: Actor, **more: Any) -> str:
    row = str(uuid4())
    own = {"label": "J4V2N", "what": "Grey oyster", "dry_g": 80.0, "packed": "2026-05-08", "cut": "sliced"}
    phone = phone_of(actor.member)
    phone.change("add", "jar", row, own | more)
    phone.push()
    assert phone.parked == []
    return row


def printed(actor: Actor, *jars: str, **more: Any) -> bytes:
    answer = actor.phone.post("/api/reports/jar-labels", {"jars": list(jars)} | more)
    assert answer.status_code == 200, answer.content
    assert answer["Content-Type"] == "application/pdf"
    return answer.content


def pages(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]


def label(**more: Any) -> LabelWords:
    told = {"code": "J4V2N", "what": "Grey oyster", "mass": "80 g", "cut": "sliced", "days": []}
    return LabelWords(**told | {"qr": qr_picture(ADDRESS)} | more)


def test_a_label_says_what_is_in_the_jar_and_since_when(cast: Cast) -> None:
    (page,) = pages(printed(cast.viewer, jar(cast.owner)))
    for words in ("J4V2N", "Grey oyster", "80 g", "sliced", "Packed 8 May 2026"):
        assert words in page.replace("\u00a0", " ")


def test_a_label_says_no_more_of_keeping_than_the_grower_did(cast: Cast) -> None:
    plain, dated = jar(cast.owner), jar(cast.owner, best_before="2027-06-01")
    assert "best" not in pages(printed(cast.owner, plain))[0].lower()
    assert "Best before 1 Jun 2027" in pages(printed(cast.owner, dated))[0]


def test_a_jar_without_words_is_named_after_its_variety(cast: Cast) -> None:
    variety = str(uuid4())
    phone = phone_of(cast.owner.member)
    phone.change("add", "variety", variety, {"name": "Lion’s mane", "species": ""})
    phone.push()
    assert "Lion’s mane" in pages(printed(cast.owner, jar(cast.owner, what="", variety=variety)))[0]


def test_the_same_jars_make_the_same_file_to_the_byte(cast: Cast) -> None:
    rows = [jar(cast.owner), jar(cast.owner, label="Q9WFX")]
    assert printed(cast.owner, *rows) == printed(cast.owner, *rows)


@pytest.mark.parametrize(("labels", "start", "sheets"), [(24, 1, 1), (25, 1, 2), (1, 24, 1), (2, 24, 2)])
def test_a_sheet_holds_24_less_those_used_before(labels: int, start: int, sheets: int) -> None:
    assert len(pages(labels_sheet([label()] * labels, start, MADE))) == sheets


def test_the_labels_stand_in_the_order_asked_for(cast: Cast) -> None:
    one, two = jar(cast.owner, label="AAAAA"), jar(cast.owner, label="BBBBB")
    (page,) = pages(printed(cast.owner, two, one))
    assert page.index("BBBBB") < page.index("AAAAA")


@pytest.mark.parametrize(
    "what",
    ["椎茸 🍄 شيتاكي", "#panic()", "$a$ *b* \\ @c", "\u202eabc", "W" * 80, "a " * 40, "Шиитаке, суха"],
    ids=["foreign", "code", "markup", "direction", "wide", "long", "cyrillic"],
)
def test_whatever_a_jar_is_called_it_is_printed(cast: Cast, what: str) -> None:
    assert len(pages(printed(cast.owner, jar(cast.owner, what=what, label=what[:20].strip() or "x")))) == 1


def test_words_are_never_read_as_source(cast: Cast) -> None:
    assert "#panic()" in pages(printed(cast.owner, jar(cast.owner, what="#panic()")))[0]


def test_the_file_is_tagged_and_carries_its_typefaces() -> None:
    reader: Any = PdfReader(BytesIO(labels_sheet([label()], 1, MADE)))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    fonts = reader.pages[0]["/Resources"]["/Font"].values()
    assert all("AtkinsonHyperlegible" in font.get_object()["/BaseFont"] for font in fonts)


def modules(page: Image.Image, version: int) -> list[list[bool]]:
    """The code of the first label as printed: dark or light in the middle of every module."""
    across = 4 * version + 17
    side = CODE_SIDE / (across + 8)
    grey = page.convert("L")

    def dark(row: int, column: int) -> bool:
        x, y = CODE_LEFT + (column + 4.5) * side, CODE_TOP + (row + 4.5) * side
        return int(grey.getpixel((round(x * DOTS_PER_MM), round(y * DOTS_PER_MM)))) < 128  # type: ignore[arg-type]

    return [[dark(row, column) for column in range(across)] for row in range(across)]


def test_the_printed_code_is_the_jars_address() -> None:
    """Read off the page module by module and held against segno's own: no reader of codes is asked."""
    page = Image.open(BytesIO(labels_sheet([label()], 1, MADE, "png")))
    code = segno.make(ADDRESS, micro=False, error="m", boost_error=False)
    assert modules(page, int(code.version)) == [[bool(module) for module in row] for row in code.matrix]


def test_the_code_leads_to_where_the_labels_were_asked_from(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    coded: list[str] = []

    def noting(text: str) -> str:
        coded.append(text)
        return qr_picture(text)

    monkeypatch.setattr("harvestlog.reports.labels.sheet.qr_picture", noting)
    row = jar(cast.owner)
    printed(cast.owner, row)
    assert coded == [f"http://testserver/#/jar/{row}"]


def test_another_farms_jar_is_not_there(cast: Cast) -> None:
    row = jar(cast.stranger)
    answer = cast.owner.phone.post("/api/reports/jar-labels", {"jars": [row]})
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "jars")


def test_a_jar_that_is_still_on_the_phone_is_asked_for_in_words(cast: Cast) -> None:
    answer = cast.owner.phone.post("/api/reports/jar-labels", {"jars": [jar(cast.owner), str(uuid4())]})
    assert answer.json()["message"].startswith("1 jar is not on the server.")


@pytest.mark.parametrize(
    "wanted", [{"jars": []}, {}, {"jars": [str(uuid4())], "start": 0}, {"jars": [str(uuid4())], "start": 25}]
)
def test_nothing_and_places_that_no_sheet_has_are_refused(cast: Cast, wanted: dict[str, Any]) -> None:
    assert cast.owner.phone.post("/api/reports/jar-labels", wanted).status_code == 422


def test_nobody_signed_out_may_print(cast: Cast) -> None:
    row = jar(cast.owner)
    assert Browser().post("/api/reports/jar-labels", {"jars": [row]}).status_code == 401
