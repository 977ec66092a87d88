"""R-20: another person signs in on the phone. What the first recorded stays the first's, and is sent when the first comes back."""

import sqlite3
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import OLGA
from tests.copies.sites import PASSWORD, Hand, Line
from tests.faults.authors import sent_as_another
from tests.faults.chromium.phone_told import (
    PhoneTold,
    at_the_farm,
    on_this_phone,
    saves,
    server_ends,
    told,
)
from tests.faults.chromium.shed_work import Work
from tests.faults.overheard import NO_SIGNAL
from tests.faults.proxy import SAFE, Asked, Fate
from tests.faults.trial import Trial

PUSH = "/api/sync/push"
PIA = {"name": "Pia", "email": "pia@example.org", "password": PASSWORD}


def pia_joins(shed: Shed) -> None:
    """From another phone, as a picker of Olga's farm."""
    olga = Line(shed.url)
    form = {"email": OLGA["email"], "password": OLGA["password"], "device_name": "Another"}
    form |= {"device": "0190a6b2-7c3d-4e4f-8a5b-6c7d8e9f0a1b"}
    assert olga.ask("POST", "/api/session", form)[0] == 200
    status, said = olga.ask("POST", "/api/farm/invitations", {"role": "picker"})
    assert status in (200, 201), said
    pia = Hand("Pia").at(shed.url)
    pia._enter("/api/join", code=said["code"], name="Pia")


def signs_in(phone: PhoneTold, person: dict[str, str]) -> None:
    """At the door, or where the app asks who is there."""
    grower = phone.grower
    grower.page.get_by_label("E-mail").first.wait_for()
    grower.fills("E-mail", person["email"]).fills("Password", person["password"])
    grower.page.get_by_role("button", name="Sign in", exact=True).click()
    expect(grower.page.get_by_label("E-mail")).to_have_count(0)
    grower.page.get_by_role("navigation").wait_for()


def signs_out(phone: PhoneTold, *, unsent: bool) -> None:
    phone.grower.page.goto(f"{phone.grower.phone.url}#/farm/phone")
    asked = "are sent when you sign in again on it" if unsent else "You need a signal to come back in"
    phone.grower.taps("Sign out").sees(asked).taps("Sign out")


def leaves_with_no_signal(shed: Shed, phone: PhoneTold, work: Work) -> None:
    """The server hears of the sign-out later, before anybody is let in."""
    phone.line.meets = lambda asked: NO_SIGNAL
    saves(phone, work)
    saves(phone, work)
    signs_out(phone, unsent=True)
    phone.line.meets = lambda asked: SAFE


def leaves_in_a_flush(shed: Shed, phone: PhoneTold, work: Work) -> None:
    """A batch is on its way when she signs out, and arrives when another person has signed in."""
    under_way = threading.Event()

    def held(asked: Asked) -> Fate:
        if asked.path.startswith(PUSH):
            under_way.set()
            return Fate(delay_s=4)
        return SAFE

    phone.line.meets = held
    saves(phone, work)
    assert under_way.wait(15)
    phone.line.meets = lambda asked: SAFE
    signs_out(phone, unsent=True)


def is_signed_out_from_afar(shed: Shed, phone: PhoneTold, work: Work) -> None:
    with sqlite3.connect(shed.folder / "harvestlog.sqlite3", timeout=20) as database:
        database.execute("UPDATE accounts_phone SET session_hash = ''")
    database.close()
    saves(phone, work)
    saves(phone, work)
    phone.grower.reads_on_the_strip("sign in to send").strip.click()


LEAVES: dict[str, Callable[[Shed, PhoneTold, Work], None]] = {
    "signs out with no signal": leaves_with_no_signal,
    "signs out while a batch is on its way": leaves_in_a_flush,
    "is signed out by the server": is_signed_out_from_afar,
}


def kept_of(phone: PhoneTold, name: str) -> tuple[int, set[int]]:
    """How many changes wait in that person's storage, and the weights of the picks there."""
    held = next(held for who, held in phone.kept().items() if who.startswith(name))
    return len(held["outbox"]), on_this_phone(held)


@pytest.mark.row("R-20")
def test_what_one_person_left_on_the_phone_is_kept_and_never_sent_as_the_next(
    shed: Shed, new_phone: NewPhone, trial: Trial, tmp_path: Path
) -> None:
    with told(new_phone, trial.history, shed.port, "the phone") as phone:
        work = at_the_farm(shed, phone, trial, tmp_path, 3)
        pia_joins(shed)
        first = trial.chance.randrange(len(LEAVES))
        for number in range(trial.times):
            way = list(LEAVES)[(first + number) % len(LEAVES)]
            LEAVES[way](shed, phone, work)
            before = kept_of(phone, "Olga")
            signs_in(phone, PIA)
            last = saves(phone, work)
            phone.grower.has_sent_everything()
            assert kept_of(phone, "Olga") == before, "what the first left has changed meanwhile"
            assert last in kept_of(phone, "Pia")[1]
            signs_out(phone, unsent=False)
            signs_in(phone, OLGA)
            phone.grower.has_sent_everything()
            assert kept_of(phone, "Olga")[1] == set(range(101, last + 1))
            trial.says(way)
        phone.ends()
    server_ends(shed, trial.history, OLGA["email"], OLGA["password"], trial.chance)
    assert sent_as_another(trial.history.events) == []
    trial.counts_remarks()
    trial.judge("I2", "I3", "I7", "I10", "I13", "I15")
