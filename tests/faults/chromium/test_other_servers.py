"""R-18: the server is older than the phone app, or newer: it says less, or more, than this phone knows."""

import json
import time
from collections.abc import Callable
from pathlib import Path
from urllib.parse import parse_qs, urlencode

import pytest

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import OLGA
from tests.faults.chromium.phone_told import (
    Json,
    PhoneTold,
    at_the_farm,
    is_saved,
    on_this_phone,
    saves,
    server_ends,
    told,
)
from tests.faults.chromium.shed_work import Work
from tests.faults.overheard import body_of, with_body
from tests.faults.proxy import SAFE, Asked, Fate, Plan
from tests.faults.recorded import Recorded
from tests.faults.trial import Trial

SYNC = ("/api/sync/push", "/api/sync/pull")
# What came to the exchanges later than the rest, and a phone can do without.
LATER_SAID = {"head", "chain", "outvoted", "version", "demo", "first_run"}
LATER_OF_A_RESULT = {"lost_fields", "message", "field"}
LATER_ASKED = {"seen", "chain"}
LATER_PAGES = ("/api/sync/history", "/api/reports")
STRANGE_KIND, STRANGE_FIELD = "weather", "ripeness"


def older(asked: Asked) -> Fate:
    """A server that knows nothing of what came later: it says less, does not look at the new words, lacks new pages."""
    path = asked.path.partition("?")[0]
    if path.startswith(LATER_PAGES):
        return Fate(forged=absent())
    if path not in SYNC and not path.startswith("/api/session"):
        return SAFE
    return Fate(rewrite=_less, instead=_asked_in_former_words(asked))


def absent() -> bytes:
    body = json.dumps({"code": "not_found", "message": "Nothing here."}).encode()
    head = f"HTTP/1.1 404 Not Found\r\nContent-Type: application/json\r\nContent-Length: {len(body)}\r\n"
    return head.encode() + b"Connection: close\r\n\r\n" + body


def _asked_in_former_words(asked: Asked) -> bytes:
    rest = asked.raw.partition(b"\r\n")[2]
    path, _, query = asked.path.partition("?")
    words = {name: said[0] for name, said in parse_qs(query).items() if name not in LATER_ASKED}
    former = f"{asked.method} {path}{'?' + urlencode(words) if words else ''} HTTP/1.1"
    return former.encode() + b"\r\n" + rest


def _less(answer: bytes) -> bytes:
    body = body_of(answer)
    if not body:
        return answer
    kept = {name: said for name, said in body.items() if name not in LATER_SAID}
    if "results" in body:
        kept["results"] = [
            {name: said for name, said in result.items() if name not in LATER_OF_A_RESULT}
            for result in body["results"]
        ]
    return with_body(answer, kept)


def newer(asked: Asked) -> Fate:
    """A server of a later release: new words in every answer, new fields in rows, rows of a new kind."""
    path = asked.path.partition("?")[0]
    return Fate(rewrite=_more) if path in SYNC or path.startswith("/api/session") else SAFE


def _more(answer: bytes) -> bytes:
    body = body_of(answer)
    if not body:
        return answer
    body |= {"moon": {"phase": "waning", "lit": 0.4}}
    for result in body.get("results", []):
        result["thanks"] = ["for this"]
    if body.get("rows"):
        for row in body["rows"]:
            row["fields"][STRANGE_FIELD] = None
        strange = {
            "kind": STRANGE_KIND,
            "id": "0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0abc",
            "seq": body["rows"][-1]["seq"],
        }
        body["rows"].append(strange | {"deleted": False, "author": None, "fields": {"rain_mm": 3}})
    return with_body(answer, body)


def as_the_server_has_it(row: Json) -> Json | None:
    """Without what only a newer server would have said."""
    if row["kind"] == STRANGE_KIND:
        return None
    return row | {"fields": {name: said for name, said in row["fields"].items() if name != STRANGE_FIELD}}


def has_another_phone(shed: Shed, farm: str, trial: Trial) -> Recorded:
    """A model phone of Olga's, on the server as it is."""
    hand = Recorded("Olga's other phone", "Olga", trial.history, trial.chance)
    hand.at(shed.url)
    form = {
        "email": OLGA["email"],
        "password": OLGA["password"],
        "device": hand.device,
        "device_name": "Another",
    }
    status, session = hand.line.ask("POST", "/api/session", form)
    assert status == 200, session
    hand.farm = farm
    trial.history.note(hand.who, "phone", farm=farm, device=hand.device)
    hand.reset(session["epoch"])
    hand.pull()
    return hand


def works_with(server: Plan, phone: PhoneTold, work: Work, other: Recorded) -> int:
    """Sends and is sent; another phone's record is read. The weight that was saved last."""
    phone.line.meets = server
    saves(phone, work)
    typed = work.stands_at_the_scale()
    phone.grower.has_sent_everything()
    is_saved(phone)
    other.adds("place", name=f"Shelf {typed}", note="")
    other.gets_through()
    phone.grower.has_sent_everything().tries_now()
    has_read(phone, f"Shelf {typed}")
    return typed


def has_read(phone: PhoneTold, place: str) -> None:
    deadline = time.monotonic() + 20
    while place not in names(next(iter(phone.kept().values()))["confirmed"]):
        assert time.monotonic() < deadline, f"{place} was never read"
        time.sleep(0.2)


SERVERS: dict[str, Callable[[Asked], Fate]] = {"an older server": older, "a newer server": newer}


def names(rows: list[Json]) -> set[str]:
    return {row["fields"]["name"] for row in rows if row["kind"] == "place"}


@pytest.mark.row("R-18")
def test_an_older_or_newer_server_takes_and_gives_everything(
    shed: Shed, new_phone: NewPhone, trial: Trial, tmp_path: Path
) -> None:
    with told(new_phone, trial.history, shed.port, "the phone") as phone:
        work = at_the_farm(shed, phone, trial, tmp_path, 2)
        other = has_another_phone(shed, phone.farm, trial)
        first = trial.chance.randrange(2)
        for number in range(trial.times):
            which = list(SERVERS)[(first + number) % 2]
            last = works_with(SERVERS[which], phone, work, other)
            trial.says(which)
        (held,) = phone.kept().values()
        assert on_this_phone(held) == set(range(101, last + 1))
        assert len(names(held["confirmed"])) == trial.times
        strange = sum(row["kind"] == STRANGE_KIND for row in held["confirmed"])
        assert strange == ("a newer server" in trial.remarks)
        phone.line.meets = lambda asked: SAFE
        phone.ends(as_the_server_has_it)
    other.gets_through()
    other.ends()
    server_ends(shed, trial.history, OLGA["email"], OLGA["password"], trial.chance)
    trial.counts_remarks()
    trial.judge("I2", "I3", "I5", "I7", "I13", "I15")


def _without_what_is_needed(answer: bytes) -> bytes:
    body = body_of(answer)
    return with_body(answer, {name: said for name, said in body.items() if name not in {"upto", "results"}})


@pytest.mark.slow
@pytest.mark.planted("R-18")
def test_a_server_that_leaves_out_what_a_phone_needs_is_noticed(
    shed: Shed, new_phone: NewPhone, trial: Trial, tmp_path: Path
) -> None:
    with told(new_phone, trial.history, shed.port, "the phone") as phone:
        work = at_the_farm(shed, phone, trial, tmp_path, 2)
        phone.line.meets = lambda asked: (
            Fate(rewrite=_without_what_is_needed) if asked.path.startswith(SYNC) else SAFE
        )
        saves(phone, work)
        phone.grower.reads_on_the_strip("on this phone, server is ill")
    trial.says("no results and no end of a page: nothing is taken for sent")
