"""Every screen with hostile words in every field that takes words: they are shown as words and do nothing.

Nothing is run, no policy is broken, nobody else is asked for anything, the console stays quiet, and nothing is pushed
out of the side of the smallest phone.
"""

import re
from collections.abc import Iterator
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, Playwright, TimeoutError

from harvestlog.sync.kinds import KINDS
from tests.browser.conftest import Shed
from tests.browser.grower import OLGA, Grower
from tests.browser.phones import in_hand
from tests.copies.sites import Hand
from tests.photos.camera import snapshot
from tests.security.everything import bare, filled, hash_of
from tests.setup.server import free_port, start

WORDS = (
    "\"'><img src=x onerror=alert(1)><script>alert(2)</script>",
    "javascript:alert(3)//{{7*7}}${7*7}\u202egpj.x",
    "W" * 80,
)
WORD_IN_NAME = WORDS[0]
SMALLEST = {"width": 320, "height": 640}
SHOWN_MS = 60
# Rooms' own addresses that no link names while there are records, or that lead out of the farm.
BEGIN = ["#/today", "#/blocks", "#/keeping", "#/suppliers", "#/season", "#/farm", "#/delivery", "#/unsent", "#/recipe",
         "#/farm/people", "#/farm/exports", "#/farm/phone", "#/keeping/labels"]  # fmt: skip
OUT = re.compile(r"^#/(join|pair|password)/")


def write_down(hand: Hand, words: str) -> dict[str, str]:
    picture = snapshot(64, 48)
    ids = {}
    for kind, row, fields in bare(hash_of(picture), hash_of(picture)):
        hand.change("add", kind, row, filled(KINDS[kind], fields, words))
        ids[kind] = row
    while hand.push():
        pass
    assert hand.parked == []
    assert hand.line.ask("PUT", f"/api/photos/{hash_of(picture)}", picture)[0] in {200, 201}
    return ids


def hostile_farm(shed: Shed) -> str:
    """A farm, a member and a phone with such names too; the address of a shared report."""
    hand = Hand("Olga").at(shed.url)
    form = {"code": shed.setup_code, "farm": WORD_IN_NAME, "name": WORDS[2]}
    assert (
        hand.line.ask("POST", "/api/setup", OLGA | form | {"device": hand.device, "device_name": WORDS[1]})[0]
        == 200
    )
    hand.reset(hand.line.ask("GET", "/api/session")[1]["epoch"])
    made = [write_down(hand, words) for words in WORDS]
    code = hand.line.ask("POST", "/api/farm/invitations", {"role": "picker"})[1]["code"]
    hand.line.ask("POST", "/api/farm/pairings")
    member = Hand("Pia").at(shed.url)
    form = {"code": code, "name": WORD_IN_NAME, "email": "pia@example.org", "password": "a lamp in a shed"}
    assert (
        member.line.ask("POST", "/api/join", form | {"device": member.device, "device_name": WORDS[2]})[0]
        == 200
    )
    share = ""
    for number, ids in enumerate(made):
        report = {
            "id": f"0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1{number}",
            "supplier": ids["supplier"],
            "photos": [ids["photo"]],
        }
        assert hand.line.ask("POST", "/api/reports/supplier-reports", report)[0] == 201
        share += (
            hand.line.ask("POST", f"/api/reports/supplier-reports/{report['id']}/shares", {})[1]["address"]
            + " "
        )
    return share


class Watched:
    """A phone whose every dialog, foreign request and broken policy is noted."""

    def __init__(self, grower: Grower) -> None:
        self.grower = grower
        self.faults: list[str] = []
        self.shown: list[str] = []
        page = grower.page
        page.on("dialog", lambda dialog: self._note(f"dialog {dialog.message}", dialog.dismiss))
        page.on("request", lambda asked: self._ask(asked.url))
        page.on("popup", lambda other: self._note(f"popup {other.url}", other.close))

    def _note(self, fault: str, then: Any = None) -> None:
        self.faults.append(f"{self.page.url}: {fault}")
        if then:
            then()

    def _ask(self, url: str) -> None:
        own = urlsplit(self.grower.phone.url).netloc
        if urlsplit(url).scheme not in {"data", "blob"} and urlsplit(url).netloc != own:
            self._note(f"asked {url}")
        if urlsplit(url).path == "/x":
            self._note("asked for the picture that stands in the words")

    @property
    def page(self) -> Page:
        return self.grower.page

    def show(self, address: str) -> set[str]:
        """The screen at this address, all that can be unfolded unfolded; the addresses it leads to."""
        self.page.evaluate("hash => { location.hash = hash }", address)
        try:
            self.page.locator("main h1").wait_for()
        except TimeoutError as blank:
            raise AssertionError(f"{address} is blank: {self.grower.phone.complaints}") from blank
        self.page.wait_for_timeout(SHOWN_MS)
        found = self.page.evaluate(LOOK)
        self.shown.append(address)
        if found["over"] > 0:
            self._note(f"{address}: {found['over']} px too wide, {found['widest']}")
        if found["made"]:
            self._note(f"{address}: the words became {found['made']}")
        return {link for link in found["links"] if not OUT.match(link)}


LOOK = """
() => {
  for (const folded of document.querySelectorAll("details")) folded.open = true;
  const root = document.documentElement;
  const main = document.querySelector("main");
  const scrolls = (element) => element !== main && /auto|scroll|hidden|clip/.test(getComputedStyle(element).overflowX);
  const inside = (element) => element !== main && (scrolls(element) || inside(element.parentElement));
  const wide = [...main.querySelectorAll("*")].filter((element) =>
    element.getBoundingClientRect().right > root.clientWidth + 1 && !inside(element.parentElement));
  return {
    links: [...document.querySelectorAll('a[href^="#/"]')].map((link) => link.getAttribute("href")),
    over: Math.max(root.scrollWidth - root.clientWidth, main.scrollWidth - main.clientWidth, wide.length),
    widest: wide.slice(0, 3).map((element) => element.outerHTML.slice(0, 120)).join(" | "),
    made: [...document.querySelectorAll('[onerror], script:not([src]), [href^="javascript:" i], [src="x"]')]
      .map((element) => element.outerHTML.slice(0, 120)).join(" | "),
  };
}
"""


@pytest.fixture(scope="module")
def crawled(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Watched]:
    """Somebody who has been on every screen that a link leads to."""
    folder, port = tmp_path_factory.mktemp("hostile") / "data", free_port()
    shed = Shed(folder, port, start(folder, port))
    shares = hostile_farm(shed).split()
    with in_hand(playwright, folder.parent / "phone", shed.url) as phone:
        grower = Grower(phone)
        phone.open()
        phone.page.set_viewport_size(SMALLEST)  # type: ignore[arg-type]
        grower.signs_in().has_sent_everything()
        watched = Watched(grower)
        waiting = dict.fromkeys(BEGIN)
        seen: set[str] = set()
        while waiting:
            address = next(iter(waiting))
            del waiting[address]
            seen.add(address)
            waiting |= dict.fromkeys(link for link in sorted(watched.show(address)) if link not in seen)
        for share in shares:
            phone.page.goto(shed.url.rstrip("/") + share)
            phone.page.wait_for_timeout(SHOWN_MS)
            found = phone.page.evaluate(LOOK)
            watched.shown.append("r")
            if found["over"] > 0 or found["made"]:
                watched._note(f"the shared page: {found}")
        yield watched
    shed.kill()


def test_nothing_was_run_asked_of_others_or_pushed_out_of_the_side(crawled: Watched) -> None:
    assert not crawled.faults, "\n".join(crawled.faults)


def test_the_console_stayed_quiet_and_no_policy_was_broken(crawled: Watched) -> None:
    assert crawled.grower.phone.complaints == []


def test_every_kind_of_screen_was_seen(crawled: Watched) -> None:
    seen = {address.removeprefix("#/").partition("/")[0] for address in crawled.shown}
    assert seen >= {
        "today", "blocks", "block", "weigh", "pick", "happening", "photo", "delivery", "keeping", "drying", "jar", "trial",
        "extract", "recipe", "suppliers", "supplier", "season", "report", "farm", "variety", "place", "unsent", "r",
    }  # fmt: skip


def test_the_words_themselves_are_there_to_be_read(crawled: Watched) -> None:
    page = crawled.page
    page.goto(f"{crawled.grower.phone.url}#/suppliers")
    page.get_by_text(WORDS[0]).first.wait_for()
    page.goto(f"{crawled.grower.phone.url}#/farm/people")
    page.get_by_text(WORD_IN_NAME).first.wait_for()


def test_the_crawl_notices_what_it_looks_for(crawled: Watched) -> None:
    """A dialog, and a request elsewhere: what it found until now was nothing, because there was nothing."""
    before = len(crawled.faults)
    crawled.page.evaluate("() => { alert('planted') }")
    crawled.page.evaluate("() => { new Image().src = 'http://192.0.2.1/x' }")
    crawled.page.wait_for_timeout(SHOWN_MS)
    planted, crawled.faults = crawled.faults[before:], crawled.faults[:before]
    assert any("dialog planted" in fault for fault in planted)
