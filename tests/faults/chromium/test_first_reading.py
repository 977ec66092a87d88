"""R-30: a second phone, slow and on a line that breaks off, reads a farm of 10,000 records and 2,000 photos for the first time."""

import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from random import Random

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import OLGA, Grower
from tests.faults.chromium.large_farm import BLOCKS, PHOTOS, RECORDS, LargeFarm
from tests.faults.chromium.shed_work import WHO
from tests.faults.history import History
from tests.faults.proxy import SAFE, Asked, Fate, Proxy
from tests.faults.recorded import Recorded
from tests.faults.trial import Trial

A_PAGE, BREAKS_OFF = 500, 8
LATE_MS = 300_000  # a busy machine at a quarter of its speed; what is asserted are requests
COUNT = """async () => {
  const { name } = (await indexedDB.databases()).find(({ name }) => name.startsWith("harvestlog/"));
  const db = await new Promise((resolve) => {
    const opening = indexedDB.open(name);
    opening.onsuccess = () => resolve(opening.result);
  });
  const count = await new Promise((resolve) => {
    db.transaction("confirmed").objectStore("confirmed").count().onsuccess = ({ target }) => resolve(target.result);
  });
  db.close();
  return count;
}"""


def fills_the_farm(shed: Shed, chance: Random) -> str:
    """Over the wire, as Olga's other phone. The label of one of its blocks."""
    hand = Recorded("another phone", WHO, History(), chance)
    hand.at(shed.url)
    form = {"email": OLGA["email"], "password": OLGA["password"]}
    status, session = hand.line.ask(
        "POST", "/api/session", form | {"device": hand.device, "device_name": "Another"}
    )
    assert status == 200, session
    farm = LargeFarm(hand, chance)
    pictures = farm.is_written()
    for start in range(0, len(farm.ops), 100):
        body = {"epoch": session["epoch"], "device": hand.device, "app_version": "test"}
        status, said = hand.line.ask("POST", "/api/sync/push", body | {"ops": farm.ops[start : start + 100]})
        assert {result["status"] for result in said["results"]} == {"applied"}
    with ThreadPoolExecutor(3) as senders:
        assert set(senders.map(lambda picture: _sent(hand, *picture), pictures.items())) == {201}
    return farm.label


def _sent(hand: Recorded, name: str, jpeg: bytes) -> int:
    return hand.line.ask("PUT", f"/api/photos/{name}", jpeg)[0]


def has_a_large_farm(shed: Shed, olga: Grower, chance: Random) -> str:
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code)
    olga.phone.kill()
    return fills_the_farm(shed, chance)


@pytest.mark.row("R-30")
def test_a_first_reading_goes_on_where_it_broke_off(shed: Shed, new_phone: NewPhone, trial: Trial) -> None:
    label = has_a_large_farm(shed, Grower(new_phone()), trial.chance)
    proxy = Proxy(shed.port)
    asked = Asking()
    proxy.plan = asked.plan
    for _ in range(trial.times):
        asked.begins()
        slow = Grower(new_phone())
        slow.phone.url = proxy.url
        page = slow.phone.open()
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 4})
        slow.signs_in()
        slow.goes("Blocks").page.get_by_role("link", name=" ".join(label)).first.wait_for(timeout=LATE_MS)
        usable = page.evaluate("performance.now()")
        broke_off = f"{page.evaluate(COUNT)} rows, {slow.strip.inner_text()!r}"
        reads_on(slow)
        shows_pictures(slow)
        asked.was_bounded()
        trial.says(
            f"{len(asked.pages)} pages, {len(set(asked.pictures))} pictures fetched, a usable list after "
            f"{usable / 1000:.0f} s (not asserted); when it broke off: {broke_off}"
        )
        slow.phone.kill()
    proxy.close()


@dataclass
class Asking:
    """What a phone asked for; one page is lost on its way."""

    pages: list[str] = field(default_factory=list)
    pictures: list[str] = field(default_factory=list)

    def begins(self) -> None:
        self.pages.clear()
        self.pictures.clear()

    def plan(self, asked: Asked) -> Fate:
        if asked.path.startswith("/api/photos/"):
            self.pictures.append(asked.path)
        if not asked.path.startswith("/api/sync/pull"):
            return SAFE
        self.pages.append(asked.path)
        return Fate(answer_lost=len(self.pages) == BREAKS_OFF)

    def was_bounded(self) -> None:
        """After a lost page the phone asks for half as many rows at once: at most twice the pages, and a last look or two.

        Of the pictures it asks for those that the list shows: the latest of each block, after each page that has photos.
        """
        assert len(self.pages) <= 2 * RECORDS / A_PAGE + 5
        assert sum("since=0&" in page for page in self.pages) <= 2
        assert len(self.pictures) <= BLOCKS * (PHOTOS // A_PAGE + 1), len(self.pictures)
        assert len(set(self.pictures)) == len(self.pictures)


def reads_on(slow: Grower) -> None:
    """By itself, with the pass that follows half a minute later."""
    deadline = time.monotonic() + LATE_MS / 1000
    while slow.page.evaluate(COUNT) < RECORDS:
        assert time.monotonic() < deadline, (
            f"{slow.page.evaluate(COUNT)} of {RECORDS} records, and no more came"
        )
        time.sleep(0.5)


def shows_pictures(slow: Grower) -> None:
    """Every block in the list has its latest, once all has been read."""
    shown = slow.page.locator("ul.blocks img.picture, main li img.picture")
    expect(shown).to_have_count(BLOCKS, timeout=LATE_MS)


@pytest.mark.slow
@pytest.mark.planted("R-30")
def test_a_phone_that_begins_anew_or_fetches_every_picture_is_noticed(trial: Trial) -> None:
    """Played by what such a phone would ask for."""
    anew = [f"/api/sync/pull?since={since}&" for since in (0, 500, 0, 500, 0)]
    all_of_them = [f"/api/photos/{number}" for number in range(PHOTOS)]
    for asked in (Asking(anew), Asking([], all_of_them), Asking([], ["/api/photos/1"] * 2)):
        with pytest.raises(AssertionError):
            asked.was_bounded()
    trial.says("a reading begun anew, every picture fetched, one fetched twice")
