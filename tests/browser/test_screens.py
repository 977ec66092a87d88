"""Every screen, with a season of records on it: legible for everybody, on the smallest phone, in any light."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Shed
from tests.browser.grower import Grower
from tests.browser.phones import in_hand
from tests.setup.server import free_port, start

AXE = (Path(__file__).parents[2] / "static" / "node_modules" / "axe-core" / "axe.min.js").read_text()
SCREENS = [
    "today", "blocks", "block", "weigh", "photo-choice", "note", "delivery", "suppliers", "supplier", "farm",
    "people", "varieties", "places", "phone", "unsent", "season", "report-choice", "report", "exports",
    "trial-new", "trial", "trial-weigh", "recipe", "extract-new", "extract", "strained", "place", "reading",
    "keeping", "load-new", "load", "load-weigh", "load-out", "load-more", "load-edit", "jar-new", "jar", "jar-take",
    "jar-edit", "keeping/labels", "history", "farm/calendar",
]  # fmt: skip


@pytest.fixture(scope="module")
def visitor(playwright: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Grower]:
    """Somebody who looks round the demo farm."""
    folder, port = tmp_path_factory.mktemp("demo") / "data", free_port()
    shed = Shed(folder, port, start(folder, port))
    with in_hand(playwright, folder.parent / "phone", shed.url) as phone:
        visitor = Grower(phone)
        phone.open()
        visitor.taps("Look round the demo farm")
        visitor.page.get_by_role("navigation").wait_for()
        visitor.has_sent_everything()
        makes_a_report(visitor)
        yield visitor
        assert phone.complaints == []
    shed.kill()


def makes_a_report(visitor: Grower) -> None:
    """So that there is one to look at, with a link."""
    visitor.goes("Suppliers")
    visitor.page.locator(".intervals .names a").first.click()
    visitor.taps("Make a yield report").taps("Make the report").sees("Share as PDF")
    visitor.taps("Make a link").sees("it is shown only this once")


def address_of(page: Page, screen: str) -> str:
    """The route of a screen; those of one record take the first block or supplier of the farm."""
    routes = {
        "block": "#/block/{block}", "history": "#/history/block/{block}", "weigh": "#/weigh/{block}", "photo-choice": "#/block/{block}/photo",
        "note": "#/block/{block}/happened", "supplier": "#/supplier/{supplier}", "people": "#/farm/people",
        "varieties": "#/farm/varieties", "places": "#/farm/places", "phone": "#/farm/phone",
        "report-choice": "#/report/new/{supplier}", "report": "#/report/{report}", "exports": "#/farm/exports",
        "trial-new": "#/trial/new", "trial": "#/trial/{trial}", "trial-weigh": "#/trial/{trial}/weigh",
        "extract-new": "#/extract/new", "extract": "#/extract/{extract}", "strained": "#/extract/{extract}/strained",
        "place": "#/place/{place}", "reading": "#/place/{place}/reading",
        "load-new": "#/drying/new", "load": "#/drying/{dried}", "load-weigh": "#/drying/{drying}/weigh",
        "load-out": "#/drying/{drying}/out", "load-more": "#/drying/{drying}/more", "load-edit": "#/drying/{dried}/edit",
        "jar-new": "#/jar/new/{dried}", "jar": "#/jar/{jar}", "jar-take": "#/jar/{jar}/take", "jar-edit": "#/jar/{jar}/edit",
    }  # fmt: skip
    rows = page.evaluate(FIRST_ROWS) | {"report": page.evaluate(FIRST_REPORT)}
    return routes.get(screen, f"#/{screen}").format(**rows)


FIRST_ROWS = """
async () => {
  const found = (await indexedDB.databases()).find(({ name }) => name.startsWith("harvestlog/"));
  const db = await new Promise((done) => {
    const opening = indexedDB.open(found.name);
    opening.onsuccess = () => done(opening.result);
  });
  const rows = await new Promise((done) => {
    const asked = db.transaction("confirmed").objectStore("confirmed").getAll();
    asked.onsuccess = () => done(asked.result);
  });
  db.close();
  const first = (kind) => rows.find((row) => row.kind === kind && !row.deleted)?.id;
  const picked = rows.find((row) => row.kind === "photo" && row.fields.flush === 2)?.fields.block;
  const load = (ended) => rows.find(({ kind, fields }) => kind === "drying" && (fields.ended !== null) === ended)?.id;
  const kept = { drying: load(false), dried: load(true), jar: first("jar") };
  return { ...kept, block: picked ?? first("block"), supplier: first("supplier"), trial: first("trial"), extract: first("extract"),
    place: first("reading") ? rows.find((row) => row.kind === "reading").fields.place : first("place") };
}
"""

FIRST_REPORT = """
async () => (await (await fetch("/api/reports/supplier-reports")).json())[0].id
"""


def show(visitor: Grower, screen: str) -> Page:
    page = visitor.page
    page.goto(visitor.phone.url + address_of(page, screen))
    page.locator("main h1").wait_for()
    return page


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize("screen", SCREENS)
def test_a_screen_has_no_fault_that_axe_can_find(visitor: Grower, screen: str, light: Any) -> None:
    page = show(visitor, screen)
    page.emulate_media(color_scheme=light, reduced_motion="reduce")
    page.evaluate(AXE)
    found = page.evaluate("() => axe.run(document, { resultTypes: ['violations'] })")
    assert [
        (fault["id"], [node["html"] for node in fault["nodes"]][:3]) for fault in found["violations"]
    ] == []


@pytest.mark.parametrize("screen", SCREENS)
def test_a_screen_fits_the_smallest_phone_and_the_largest_text(visitor: Grower, screen: str) -> None:
    page = show(visitor, screen)
    try:
        for width, text in ((320, "100%"), (390, "200%")):
            page.set_viewport_size({"width": width, "height": 640})
            page.evaluate("size => { document.documentElement.style.fontSize = size }", text)
            over = page.evaluate(
                "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
            )
            assert over <= 0, f"{over} px too wide at {width} px and {text} text"
    finally:
        page.evaluate("() => { document.documentElement.style.fontSize = '' }")
        page.set_viewport_size({"width": 390, "height": 844})
