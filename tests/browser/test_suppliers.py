"""Suppliers compared, and a yield report that a supplier reads: a real Chromium, a real server, the demo farm."""

import re
import sqlite3
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import Grower


@pytest.fixture
def visitor(shed: Shed, new_phone: NewPhone) -> Grower:
    """Somebody who looks round the demo farm and has its whole season on the phone."""
    visitor = Grower(new_phone())
    visitor.phone.open()
    visitor.taps("Look round the demo farm")
    visitor.page.get_by_role("navigation").wait_for()
    return visitor.reads_on_the_strip(re.compile(r"All sent \d"))  # the time of a whole pass


def told(visitor: Grower, question: str) -> Any:
    """The server's answer to this phone."""
    return visitor.page.evaluate(
        "path => fetch(path).then((answer) => answer.json())", f"/api/reports/{question}"
    )


def reports(shed: Shed) -> list[tuple[Any, ...]]:
    with sqlite3.connect(f"file:{shed.folder / 'harvestlog.sqlite3'}?mode=ro", uri=True) as database:
        return database.execute(
            "select id, supplier_name, blocks from reports_supplierreport order by id"
        ).fetchall()


def asks_for_a_report(visitor: Grower) -> str:
    """Of the supplier whose name comes first; returns the name."""
    visitor.goes("Suppliers")
    name = visitor.page.locator("main .list a.supplier h3, main .intervals .names a").first.inner_text()
    visitor.page.get_by_role("link", name=name).first.click()
    visitor.taps("Make a yield report").taps("Make the report")
    return name


def test_the_comparison_says_what_the_server_worked_out(visitor: Grower) -> None:
    visitor.goes("Suppliers")
    answer = told(visitor, "comparison")
    visitor.sees(answer["sentence"])
    for supplier in answer["suppliers"]:
        for chart, figure, places in (
            ("What a bought block brings", supplier["expected"], 0),
            ("What a fresh kg costs", supplier["price_per_kg_fresh"], 2),
        ):
            shown = visitor.page.get_by_role("region", name=chart).get_by_role("listitem")
            shown = shown.filter(has_text=supplier["name"])
            expect(shown.locator(".figure")).to_contain_text(f"{figure['value']:.{places}f}")
            likely = f"likely {figure['low']:.{places}f} to {figure['high']:.{places}f}"
            expect(shown).to_contain_text(likely)


def test_every_block_behind_a_number_is_one_tap_away(visitor: Grower) -> None:
    visitor.goes("Suppliers")
    supplier = told(visitor, "comparison")["suppliers"][0]
    section = visitor.page.locator("main details").filter(has_text=f"{supplier['name']}: ")
    section.locator("summary").click()
    expect(section.locator(".behind")).to_have_count(len(supplier["behind"]))
    label = supplier["behind"][0]["label"]
    section.get_by_role("link", name=" ".join(label)).click()
    visitor.sees("Its story")


def test_one_variety_is_compared_by_itself(visitor: Grower) -> None:
    visitor.goes("Suppliers").sees("What a bought block brings")
    variety = max(told(visitor, "comparison")["varieties"], key=lambda each: each["blocks"])
    visitor.page.get_by_label("Compare").select_option(variety["id"])
    visitor.sees(told(visitor, f"comparison?variety={variety['id']}")["sentence"])
    visitor.sees(re.compile(f"from {variety['blocks']} blocks"))


def test_with_no_server_the_last_answer_stands_with_its_date(shed: Shed, visitor: Grower) -> None:
    visitor.goes("Suppliers")
    sentence = told(visitor, "comparison")["sentence"]
    visitor.sees(sentence).is_ready_for_no_signal()
    shed.kill()
    visitor.phone.close()
    visitor.phone.open("#/suppliers")  # cold start, from the cache
    visitor.sees(sentence).sees(re.compile(r"Worked out today \d\d:\d\d, from \d+ blocks")).sees("No signal")


def test_a_pick_since_the_last_answer_is_counted_beside_it(shed: Shed, visitor: Grower) -> None:
    visitor.goes("Suppliers").sees(re.compile("Worked out today"))
    shed.kill()
    visitor.goes("Blocks")
    visitor.page.locator("main .blocks a").first.click()
    visitor.taps("Weigh").presses("120").saves().sees("Weigh next")
    visitor.page.goto(visitor.phone.url + "#/suppliers")
    visitor.sees(re.compile("; 1 pick since"))


def test_a_comparison_never_heard_is_told_from_the_phones_own_records(shed: Shed, visitor: Grower) -> None:
    visitor.is_ready_for_no_signal()
    shed.kill()
    visitor.goes("Suppliers").sees(re.compile("has not heard the comparison yet")).sees("No fair comparison")
    expect(visitor.page.locator("a.supplier")).to_have_count(3)


def test_a_report_asked_for_with_no_server_is_made_once_when_it_is_back(shed: Shed, visitor: Grower) -> None:
    visitor.is_ready_for_no_signal()
    shed.kill()
    name = asks_for_a_report(visitor)
    visitor.sees("It will be made when there is a signal")
    waiting = visitor.page.url
    visitor.phone.close()
    shed.start()
    visitor.phone.open(waiting.removeprefix(visitor.phone.url))
    visitor.sees("Share as PDF").tries_now().has_sent_everything()
    assert [(supplier, blocks > 0) for _, supplier, blocks in reports(shed)] == [(name, True)]


def test_a_report_whose_answer_was_lost_is_made_once(shed: Shed, visitor: Grower) -> None:
    lost: list[int] = []

    def lose(route: Any) -> None:
        if route.request.method == "POST" and not lost:
            lost.append(route.fetch().status)
            route.abort()
        else:
            route.continue_()

    visitor.page.route("**/api/reports/supplier-reports", lose)
    asks_for_a_report(visitor)
    visitor.sees(re.compile("when there is a signal")).taps("Try now").sees("Share as PDF")
    assert (lost, len(reports(shed))) == ([201], 1)


def test_a_link_opens_for_a_stranger_until_it_is_taken_back(visitor: Grower, new_phone: NewPhone) -> None:
    name = asks_for_a_report(visitor)
    visitor.sees("Share as PDF").taps("Make a link")
    address = visitor.page.locator(".address").inner_text()
    assert re.fullmatch(re.escape(visitor.phone.url) + r"r/[\w-]{43}", address)

    stranger = Grower(new_phone())
    stranger.phone.open(address.removeprefix(visitor.phone.url))
    stranger.sees(re.compile(re.escape(name)))
    assert stranger.page.context.cookies() == []

    visitor.page.reload()
    visitor.sees("opened once")
    expect(visitor.page.locator(".address")).to_have_count(0)
    visitor.taps("Take it back").sees(re.compile("taken back today"))
    gone = stranger.page.goto(address)
    assert gone is not None
    assert gone.status == 404


def test_a_reports_files_and_all_records_are_downloads(visitor: Grower) -> None:
    asks_for_a_report(visitor)
    visitor.sees("Share as PDF")
    for act, ending in (("Share as PDF", "pdf"), ("Save as a page", "html"), ("Save as tables (CSV)", "zip")):
        with visitor.page.expect_download() as got:
            visitor.taps(act)
        assert re.fullmatch(rf"yield-report-[\w-]+\.{ending}", got.value.suggested_filename)
    visitor.goes("Farm").taps(re.compile("All records in a file"))
    for act, ending in (("Save as tables (CSV)", "zip"), ("Save as JSON", "json")):
        with visitor.page.expect_download() as got:
            visitor.taps(act)
        assert re.fullmatch(rf"harvestlog-records-[\d-]+\.{ending}", got.value.suggested_filename)


def test_a_deleted_report_is_gone_with_its_links(shed: Shed, visitor: Grower, new_phone: NewPhone) -> None:
    asks_for_a_report(visitor)
    visitor.sees("Share as PDF").taps("Make a link")
    address = visitor.page.locator(".address").inner_text()
    visitor.taps("Delete this report").taps("Delete it").sees("The report and its links are deleted")
    assert reports(shed) == []
    stranger = Grower(new_phone())
    stranger.phone.open()
    gone = stranger.page.goto(address)
    assert gone is not None
    assert gone.status == 404


WIDER = """
() => [document.documentElement, ...document.querySelectorAll("main *")]
  .filter((each) => !each.closest("thead, .unseen") && each.getClientRects().length > 0)
  .filter((each) => each.getBoundingClientRect().right > innerWidth || each.scrollWidth > innerWidth)
  .map((each) => `${each.tagName} ${each.className}`)
"""


@pytest.mark.parametrize(("width", "text"), [(320, "100%"), (390, "200%")])
def test_a_shared_report_is_read_on_a_phone_without_scrolling_sideways(
    visitor: Grower, new_phone: NewPhone, width: int, text: str
) -> None:
    asks_for_a_report(visitor)
    visitor.sees("Share as PDF").taps("Make a link")
    supplier = Grower(new_phone())
    supplier.phone.open()
    page = supplier.page
    page.set_viewport_size({"width": width, "height": 700})
    page.goto(visitor.page.locator(".address").inner_text())
    page.evaluate("size => { document.documentElement.style.fontSize = size }", text)
    expect(page.get_by_role("table").first).to_be_visible()
    assert page.evaluate(WIDER) == []
    # A card is still a table for whoever listens.
    blocks = page.get_by_role("table").filter(has=page.locator(".label")).first
    assert blocks.get_by_role("columnheader").count() == 8
    expect(blocks.get_by_role("cell").first).to_be_visible()
