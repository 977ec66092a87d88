"""R-30: a second phone, slow and on a line that breaks off, reads a farm of 10,000 records for the first time."""

import time
from random import Random

import pytest

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import OLGA, Grower
from tests.faults.chromium.shed_work import WHO
from tests.faults.history import History
from tests.faults.proxy import SAFE, Asked, Fate, Proxy
from tests.faults.recorded import Recorded
from tests.faults.trial import Trial

RECORDS, A_PAGE = 10_000, 500
LATE_MS = 60_000
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


def fills_the_farm(shed: Shed, chance: Random) -> None:
    """Over the wire, as Olga's other phone."""
    hand = Recorded("another phone", WHO, History(), chance)
    hand.at(shed.url)
    form = {
        "email": OLGA["email"],
        "password": OLGA["password"],
        "device": hand.device,
        "device_name": "Another",
    }
    status, session = hand.line.ask("POST", "/api/session", form)
    assert status == 200, session
    hand.epoch = session["epoch"]
    blocks = [hand.new_id() for _ in range(100)]
    for start in range(0, RECORDS, 100):
        ops = [_pick(hand, blocks, number) for number in range(start, start + 100)]
        body = {"epoch": hand.epoch, "device": hand.device, "app_version": "test", "ops": ops}
        status, said = hand.line.ask("POST", "/api/sync/push", body)
        assert {result["status"] for result in said["results"]} == {"applied"}


def _pick(hand: Recorded, blocks: list[str], number: int) -> dict[str, object]:
    fields = {
        "block": blocks[number % 100],
        "flush": 1,
        "at": "2026-05-03T07:40:00Z",
        "wet_g": 100.0 + number % 400,
    }
    op = {
        "id": hand.new_id(),
        "verb": "add",
        "kind": "pick",
        "row": hand.new_id(),
        "base": 0,
        "fields": fields,
    }
    return op | {"at": "2026-05-03T07:40:00Z"}


def has_a_large_farm(shed: Shed, olga: Grower, chance: Random) -> str:
    """The label of one of its blocks."""
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code)
    label, _ = olga.writes_down_a_delivery(blocks=2)
    olga.has_sent_everything()
    fills_the_farm(shed, chance)
    return label


@pytest.mark.row("R-30")
def test_a_first_reading_goes_on_where_it_broke_off(shed: Shed, new_phone: NewPhone, trial: Trial) -> None:
    label = has_a_large_farm(shed, Grower(new_phone()), trial.chance)
    proxy = Proxy(shed.port)
    pages: list[str] = []
    proxy.plan = lambda asked: _breaks_off(asked, pages)
    for _ in range(trial.times):
        pages.clear()
        slow = Grower(new_phone())
        slow.phone.url = proxy.url
        page = slow.phone.open()
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 4})
        slow.signs_in()
        slow.goes("Blocks").page.get_by_role("link", name=" ".join(label)).first.wait_for(timeout=LATE_MS)
        usable = page.evaluate("performance.now()")
        broke_off = f"{page.evaluate(COUNT)} rows, {slow.strip.inner_text()!r}"
        reads_on(slow)
        # After one was lost the phone asks for half as many rows at once: at most twice the pages, and a last look or two.
        assert len(pages) <= 2 * RECORDS / A_PAGE + 5
        assert sum("since=0&" in asked for asked in pages) <= 2
        trial.says(
            f"{len(pages)} pages, a usable list after {usable / 1000:.0f} s (not asserted); when it broke off: {broke_off}"
        )
        slow.phone.kill()
    proxy.close()


def reads_on(slow: Grower) -> None:
    """By itself, at the latest with the pass that follows half a minute later."""
    deadline = time.monotonic() + LATE_MS / 1000
    while slow.page.evaluate(COUNT) < RECORDS:
        assert time.monotonic() < deadline, f"{slow.page.evaluate(COUNT)} of {RECORDS} records after a minute"
        time.sleep(0.5)


def _breaks_off(asked: Asked, pages: list[str]) -> Fate:
    if not asked.path.startswith("/api/sync/pull"):
        return SAFE
    pages.append(asked.path)
    return Fate(answer_lost=len(pages) == 8)
