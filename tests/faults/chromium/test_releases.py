"""R-17: another release of the phone app arrives while records are being sent and a form is half filled in."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import OLGA
from tests.faults.chromium.phone_told import (
    PhoneTold,
    at_the_farm,
    is_saved,
    on_this_phone,
    saves,
    server_ends,
    told,
)
from tests.faults.chromium.releases import THIS, WAYS, Release, built
from tests.faults.chromium.shed_work import Work
from tests.faults.nemesis import Holds
from tests.faults.overheard import NO_SIGNAL
from tests.faults.proxy import SAFE
from tests.faults.trial import Trial
from tests.setup.server import Served, free_port, start

TAKEN = "taken; take another"
LOOKS_AGAIN_S = 5.5  # a page that is written in asks itself every 5 s whether it still is
# What `registerWorker` listens for: the phone is taken out of the pocket.
COMES_TO_THE_FRONT = 'document.dispatchEvent(new Event("visibilitychange"))'
WAITS = "async () => !!(await navigator.serviceWorker.getRegistration())?.waiting"


@pytest.fixture(scope="session")
def release_of(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Release]:
    """Compiled when first asked for."""
    made: dict[str, Release] = {}

    def of(way: str) -> Release:
        if way not in made:
            made[way] = built(way, tmp_path_factory.mktemp("release"))
        return made[way]

    return of


@contextmanager
def serving(shed: Shed, release: Release) -> Iterator[Served]:
    """The other release's server, on the same data."""
    served = start(shed.folder, free_port(), more=release.environment)
    try:
        yield served
    finally:
        served.stop()


def comes_with_another_phone(phone: PhoneTold, work: Work) -> None:
    work.grower = phone.grower
    phone.grower.signs_in()
    phone.grower.goes("Blocks").page.get_by_role("link", name=" ".join(work.label)).first.wait_for()
    phone.grower.is_ready_for_no_signal()
    # A browser that is killed within half a minute has not written its cookies down, and would ask who is there.
    phone.grower.phone.close()
    phone.grower.phone.open()


def undisturbed(phone: PhoneTold, typed: int) -> bool:
    """The page has not been loaded anew since, and shows what was typed and that there is a picture."""
    page = phone.grower.page
    words = page.locator("body").text_content() or ""
    return bool(page.evaluate("window.stillHere === true")) and str(typed) in words and TAKEN in words


def runs(phone: PhoneTold, release: Release, timeout_s: float = 20) -> None:
    script = phone.grower.page.locator(f'script[src="{release.script}"]')
    expect(script).to_have_count(1, timeout=timeout_s * 1000)


def arrives_in_a_flush(phone: PhoneTold, work: Work, served: Served) -> int:
    """Two weighings on their way, a third typed with its picture: what is typed, once the other release waits on the phone."""
    page, line = phone.grower.page, phone.line
    holds = Holds("/api/sync/push")
    line.meets = holds.plan
    saves(phone, work)
    assert holds.under_way.wait(15)
    saves(phone, work)
    typed = work.stands_at_the_scale()
    page.evaluate("window.stillHere = true")
    line.proxy.port_of_server = int(served.url.rstrip("/").rpartition(":")[2])
    page.evaluate(COMES_TO_THE_FRONT)
    is_fetched(phone)
    assert undisturbed(phone, typed), "in the middle of a pass"
    line.meets = lambda asked: SAFE
    holds.goes_on.set()
    phone.grower.has_sent_everything()
    return typed


def is_fetched(phone: PhoneTold) -> None:
    """The other release is whole on the phone, and waits."""
    deadline = time.monotonic() + 20
    while not phone.grower.page.evaluate(WAITS):
        assert time.monotonic() < deadline, "the other release never came"
        time.sleep(0.1)


def ends_by_saving(phone: PhoneTold, typed: int) -> None:
    is_saved(phone)


def ends_by_a_kill(phone: PhoneTold, typed: int) -> None:
    """What was typed is found again with its picture, whichever release opens."""
    at_the_scale = phone.grower.page.url.removeprefix(phone.grower.phone.url)
    phone.grower.phone.kill()
    phone.grower.phone.open(at_the_scale)
    phone.grower.sees(str(typed))
    phone.grower.page.get_by_text(TAKEN).first.wait_for(state="attached")
    is_saved(phone)


def ends_while_a_pass_runs(phone: PhoneTold, typed: int) -> None:
    """The form is saved and left, and the phone is still reading: the page stays until that has ended."""
    holds = Holds("/api/sync/pull")
    phone.line.meets = holds.plan
    phone.grower.page.evaluate(COMES_TO_THE_FRONT)
    assert holds.under_way.wait(15)
    is_saved(phone)
    time.sleep(LOOKS_AGAIN_S)
    assert phone.grower.page.evaluate("window.stillHere === true"), "it took over in the middle of a pass"
    phone.line.meets = lambda asked: SAFE
    holds.goes_on.set()


Ends = Callable[[PhoneTold, int], None]
ENDS: tuple[Ends, ...] = (ends_by_saving, ends_by_a_kill, ends_while_a_pass_runs)


def meets(phone: PhoneTold, work: Work, release: Release, served: Served, ends: Ends) -> None:
    """The other release comes, waits as long as the form is written in, takes over after it, and has everything."""
    comes_with_another_phone(phone, work)
    runs(phone, THIS)
    typed = arrives_in_a_flush(phone, work, served)
    time.sleep(LOOKS_AGAIN_S)
    assert undisturbed(phone, typed), "it took over from a form that is written in"
    assert phone.grower.page.evaluate(WAITS)
    ends(phone, typed)
    runs(phone, release)
    last = saves(phone, work)
    phone.grower.has_sent_everything()
    (held,) = phone.kept().values()
    assert on_this_phone(held) == set(range(101, last + 1))


@pytest.mark.row("R-17")
def test_another_release_waits_for_the_form_and_loses_nothing(
    shed: Shed, new_phone: NewPhone, release_of: Callable[[str], Release], trial: Trial, tmp_path: Path
) -> None:
    with told(new_phone, trial.history, shed.port, "the first phone") as first:
        work = at_the_farm(shed, first, trial, tmp_path, 4)
        first.ends()
    first_way = trial.chance.randrange(2)
    for number in range(trial.times):
        way, ends = list(WAYS)[(first_way + number) % 2], trial.chance.choice(ENDS)
        release = release_of(way)
        with (
            serving(shed, release) as served,
            told(new_phone, trial.history, shed.port, f"phone {number}") as phone,
        ):
            meets(phone, work, release, served, ends)
            phone.ends()
        trial.says(f"{way}, {ends.__name__.replace('_', ' ')}")
    server_ends(shed, trial.history, OLGA["email"], OLGA["password"], trial.chance)
    trial.counts_remarks()
    trial.judge("I2", "I3", "I5", "I7", "I13", "I15")


EMPTIES_THE_OUTBOX = """async () => {
  const { name } = (await indexedDB.databases()).find(({ name }) => name.startsWith("harvestlog/"));
  const db = await new Promise((resolve) => {
    const opening = indexedDB.open(name);
    opening.onsuccess = () => resolve(opening.result);
  });
  await new Promise((resolve) => {
    const tx = db.transaction("outbox", "readwrite");
    tx.objectStore("outbox").clear();
    tx.oncomplete = resolve;
  });
  db.close();
}"""


@pytest.mark.slow
@pytest.mark.planted("R-17")
def test_a_release_that_takes_over_at_once_or_drops_what_waits_is_noticed(
    shed: Shed, new_phone: NewPhone, trial: Trial, tmp_path: Path
) -> None:
    """Such a release is played: the page is loaded anew under the form, and the outbox emptied as by a careless upgrade."""
    with told(new_phone, trial.history, shed.port, "the first phone") as phone:
        work = at_the_farm(shed, phone, trial, tmp_path, 4)
        phone.line.meets = lambda asked: NO_SIGNAL
        saves(phone, work)
        typed = work.stands_at_the_scale()
        phone.grower.page.evaluate("window.stillHere = true")
        assert undisturbed(phone, typed)
        phone.grower.page.reload()
        phone.grower.sees(str(typed))
        assert not undisturbed(phone, typed)
        phone.grower.page.evaluate(EMPTIES_THE_OUTBOX)
        phone.ends()
    server_ends(shed, trial.history, OLGA["email"], OLGA["password"], trial.chance)
    trial.notices("a page loaded anew under a form, an outbox emptied", "I3")
