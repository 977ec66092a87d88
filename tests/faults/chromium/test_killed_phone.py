"""R-14 and R-15: the browser dies in a save with a picture; its storage is full."""

import re
import time
from contextlib import suppress
from pathlib import Path

import pytest
from playwright.sync_api import Error, TimeoutError

from tests.browser.conftest import NewPhone, Shed
from tests.faults import checker
from tests.faults.chromium.shed_work import WHO, Work, at_work
from tests.faults.disks import fill, small_disk
from tests.faults.told import taken_apart
from tests.faults.trial import Trial

LONGEST_SAVE_S = 0.12
MEGABYTES = 150
TAP = """(later) => {
  const save = [...document.querySelectorAll("button")].find((button) => /^Save/.test(button.textContent ?? ""));
  setTimeout(() => save.click(), later);
}"""


def is_killed_in_the_save(work: Work) -> int:
    """By -9, at an instant around the save; nobody has been told anything."""
    grams = work.stands_at_the_scale()
    work.grower.page.evaluate(TAP, 30)
    time.sleep(0.03 + work.chance.random() * LONGEST_SAVE_S)
    work.grower.phone.kill()
    work.says("tried", grams)
    return grams


def is_killed_after_it_is_shown(work: Work) -> int:
    grams = work.stands_at_the_scale()
    work.grower.saves().sees("Weigh next")
    work.grower.phone.kill()
    work.says("made", grams, shown=True)
    return grams


@pytest.mark.row("R-14")
def test_a_save_that_was_killed_is_there_with_its_picture_or_not_at_all(
    shed: Shed, new_phone: NewPhone, trial: Trial, tmp_path: Path
) -> None:
    work = at_work(shed, new_phone, tmp_path, trial.history, trial.chance, trial.times)
    whole = cut = 0
    for number in range(trial.times):
        if number % 3 == 2:
            is_killed_after_it_is_shown(work)
        else:
            grams = is_killed_in_the_save(work)
        work.grower.phone.open()
        work.grower.page.get_by_role("navigation").wait_for()
        found = work.finds()
        assert not [name for name in found["pictures"] if name.startswith("stray")]
        trial.history.note(WHO, "restarted", **found)
        if number % 3 != 2:
            whole, cut = (whole + 1, cut) if f"{grams} g" in found["ops"] else (whole, cut + 1)
    trial.says(f"of the killed saves {whole} are there whole, {cut} not at all")
    trial.judge_only("I1")


@pytest.mark.planted("R-14")
def test_a_picture_that_is_gone_after_the_restart_is_noticed(
    shed: Shed, new_phone: NewPhone, trial: Trial, tmp_path: Path
) -> None:
    """Its bytes are taken out of the phone's storage while it is switched off, as by a save in two transactions."""
    work = at_work(shed, new_phone, tmp_path, trial.history, trial.chance, trial.times)
    is_killed_after_it_is_shown(work)
    work.grower.phone.open()
    work.grower.page.get_by_role("navigation").wait_for()
    work.grower.page.evaluate(FORGET_A_PICTURE)
    trial.history.note(WHO, "restarted", **work.finds())
    assert checker.PROMISES["I1"](taken_apart(trial.history.events))
    trial.says("a picture's bytes taken out of IndexedDB (I1)")


FORGET_A_PICTURE = """async () => {
  const { name } = (await indexedDB.databases()).find(({ name }) => name.startsWith("harvestlog/"));
  const db = await new Promise((resolve) => {
    const opening = indexedDB.open(name);
    opening.onsuccess = () => resolve(opening.result);
  });
  await new Promise((resolve) => {
    const tx = db.transaction("photos", "readwrite");
    tx.objectStore("photos").openCursor().onsuccess = ({ target }) => target.result?.delete();
    tx.oncomplete = resolve;
  });
  db.close();
}"""


def finds_again(work: Work) -> dict[str, list[str]]:
    """There is room again, but for a moment Chromium still cannot open what it closed for lack of it."""
    for _ in range(30):
        with suppress(Error):
            return work.finds()
        time.sleep(0.5)
    return work.finds()


def saves_at_last(work: Work) -> int:
    """The browser may have dropped its storage over the full disk; the app says "Try again", and so one does."""
    for taps in range(1, 6):
        work.grower.saves()
        with suppress(TimeoutError):
            work.grower.page.get_by_text("Weigh next").first.wait_for(timeout=5_000)
            return taps
    raise AssertionError("there is room again, and five taps did not save")


@pytest.mark.row("R-15")
def test_a_full_storage_refuses_the_whole_save_in_words(
    shed: Shed, new_phone: NewPhone, trial: Trial, tmp_path: Path
) -> None:
    """The phone's disk is full: Chromium's own quota for a page cannot be set from outside any more."""
    taps = 1
    with small_disk(tmp_path / "phone-0", MEGABYTES) as disk:
        work = at_work(shed, new_phone, tmp_path, trial.history, trial.chance, trial.times)
        for _ in range(trial.times):
            grams = work.stands_at_the_scale()
            before = work.finds()
            ballast = fill(disk, 0)
            work.grower.saves().sees(re.compile("nothing was saved"))
            ballast.unlink()  # what is stored cannot even be read before
            assert finds_again(work) == before
            taps = max(taps, saves_at_last(work))
            work.says("made", grams, shown=True)
            trial.history.note(WHO, "restarted", **work.finds())
            work.grower.taps("See the block")
        trial.judge_only("I1")
        work.grower.phone.kill()
    trial.says(f"saved at tap {taps} at the latest once there was room again")
