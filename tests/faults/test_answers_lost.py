"""R-02: the answer is lost after the commit, at every endpoint that writes; the phone asks again."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from tests.copies.sites import PASSWORD
from tests.faults.ground import Ground
from tests.faults.growers import noise
from tests.faults.nemesis import only
from tests.faults.proxy import Fate
from tests.faults.recorded import NoAnswer, Recorded
from tests.faults.rows import RELEASE
from tests.faults.tables import order
from tests.faults.trial import Trial

Request = tuple[str, str, Any]
BLOCK = "0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1b"


@dataclass(frozen=True)
class Write:
    """One request, prepared by `ready`. After its answer was lost, `again` are the statuses that say it was done."""

    ready: Callable[[Ground, Recorded], Request]
    again: tuple[int, ...]
    why: str = ""


def entering(hand: Recorded, **more: str) -> dict[str, str]:
    return {"email": hand.email, "password": PASSWORD, "device": hand.device, "device_name": "Phone"} | more


def _picture(ground: Ground, hand: Recorded) -> Request:
    name = hand.photographs(0, BLOCK, noise(hand.chance))
    hand.sync()
    return "PUT", f"/api/photos/{name}", hand.pictures[name]


def _join(ground: Ground, hand: Recorded) -> Request:
    invitation = _made(hand, "/api/farm/invitations", {"role": "picker"})
    name = f"Guest {hand.chance.randrange(10**9)}"
    form = {"code": invitation["code"], "name": name, "email": f"{name.replace(' ', '').lower()}@example.org"}
    return "POST", "/api/join", form | {"password": PASSWORD, "device": hand.new_id(), "device_name": "Phone"}


def _invitation(ground: Ground, hand: Recorded) -> Request:
    return (
        "DELETE",
        f"/api/farm/invitations/{_made(hand, '/api/farm/invitations', {'role': 'picker'})['id']}",
        None,
    )


def _role(ground: Ground, hand: Recorded) -> Request:
    return (
        "PATCH",
        f"/api/farm/people/{ground.people['Cy']}",
        {"role": hand.chance.choice(["picker", "viewer", "owner"])},
    )


def _removal(ground: Ground, hand: Recorded) -> Request:
    method, path, form = _join(ground, hand)
    guest = Recorded("guest", "Guest", hand.history, hand.chance).at(hand.line.url)
    status, session = guest.line.ask(method, path, form)
    assert status == 200, session
    return "DELETE", f"/api/farm/people/{session['person']['id']}", None


def _phone(ground: Ground, hand: Recorded) -> Request:
    other = Recorded("other", hand.name, hand.history, hand.chance)
    other.at(hand.line.url).line.ask("POST", "/api/session", entering(other, farm=hand.farm))
    return "DELETE", f"/api/farm/phones/{other.device}", None


def _report(ground: Ground, hand: Recorded) -> Request:
    supplier = hand.adds("supplier", name="Three Larches", contact="", note="")
    hand.sync()
    wanted: dict[str, Any] = {
        "id": hand.new_id(),
        "supplier": supplier,
        "deliveries": [],
        "since": None,
        "until": None,
    }
    return "POST", "/api/reports/supplier-reports", wanted | {"photos": [], "zone": "UTC"}


def _report_gone(ground: Ground, hand: Recorded) -> Request:
    return "DELETE", f"/api/reports/supplier-reports/{_made(hand, *_report(ground, hand)[1:])['id']}", None


def _share_gone(ground: Ground, hand: Recorded) -> Request:
    report = _made(hand, *_report(ground, hand)[1:])["id"]
    share = _made(hand, f"/api/reports/supplier-reports/{report}/shares", {"days": 30})
    return "DELETE", f"/api/reports/shares/{share['id']}", None


def _made(hand: Recorded, path: str, body: Any) -> Any:
    status, said = hand.line.ask("POST", path, body)
    assert status in (200, 201), (path, status, said)
    return said


def asked_again(hand: Recorded, method: str, path: str, body: Any) -> tuple[int, Any]:
    """Without what tells the time."""
    status, said = hand.line.ask(method, path, body)
    return status, {name: said[name] for name in said if name != "server_time"} if isinstance(
        said, dict
    ) else said


WRITES = {
    "PUT /api/photos": Write(_picture, (200,)),
    "POST /api/session": Write(lambda _, hand: ("POST", "/api/session", entering(hand, farm=hand.farm)), (200,)),
    "POST /api/join": Write(_join, (200,)),
    "PATCH /api/farm": Write(lambda _, hand: ("PATCH", "/api/farm", {"name": f"Yard {hand.chance.random()}"}), (200,)),
    "DELETE /api/farm/invitations": Write(_invitation, (204, 404), "gone and not there are the same to a phone"),
    "PATCH /api/farm/people": Write(_role, (200,)),
    "DELETE /api/farm/people": Write(_removal, (204, 404), "gone and not there are the same to a phone"),
    "DELETE /api/farm/phones": Write(_phone, (204, 404), "as above"),
    "POST /api/session/confirm": Write(lambda _, hand: ("POST", "/api/session/confirm", {"password": PASSWORD}), (204,)),
    "POST /api/reports/supplier-reports": Write(_report, (200,)),
    "DELETE /api/reports/supplier-reports": Write(_report_gone, (204, 404), "as above"),
    "DELETE /api/reports/shares": Write(_share_gone, (204, 404), "as above"),
    "DELETE /api/reports/calendar": Write(lambda *_: ("DELETE", "/api/reports/calendar", None), (204,)),
}  # fmt: skip


def is_done_once_and_told_again(ground: Ground, ada: Recorded, write: Write) -> None:
    method, path, body = write.ready(ground, ada)
    before = len(ground.proxy.seen)
    with ground.line(only(method, path, Fate(answer_lost=True))), pytest.raises(NoAnswer):
        ada._try(method, path, body)
    assert any(asked.path.startswith(path) for asked in ground.proxy.seen[before:])
    status, said = asked_again(ada, method, path, body)
    assert status in write.again, (method, path, status, said)
    if status == 200:
        assert asked_again(ada, method, path, body) == (status, said)
    if path == "/api/join":  # in as the guest who joined from this very phone
        ada.enters(ada.farm)


@pytest.mark.row("R-02")
def test_what_was_done_and_not_told_is_told_when_asked_again(ground: Ground, trial: Trial) -> None:
    ada = ground.phone("Ada", ground.new_farm(trial.chance), trial.history, trial.chance)
    names = list(WRITES) if RELEASE else trial.chance.sample(list(WRITES), 3)
    for name in names:
        for _ in range(trial.times):
            order(
                ground.site, "DELETE FROM accounts_signintry"
            )  # so many guests in one quarter of an hour are none
            is_done_once_and_told_again(ground, ada, WRITES[name])
    trial.says(f"{len(names)} endpoints: {', '.join(names)}")


@pytest.mark.row("R-02")
def test_a_push_that_was_done_and_not_told_gets_its_receipt(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    for _ in range(trial.times):
        ada.adds("place", name="Cellar", note="")
        ada.saves("add", "place", ada.new_id(), {"name": " ", "note": ""})  # refused, which is an answer too
        with ground.line(only("POST", "/api/sync/push", Fate(answer_lost=True))), pytest.raises(NoAnswer):
            ada.push()
        assert [result["status"] for result in ada.push()] == ["applied", "rejected"]
    ada.gets_through()
    bo.gets_through()
    ground.ends(trial.history, ada, bo)
    trial.says("POST /api/sync/push")
    trial.judge("I2", "I3", "I7")


@pytest.mark.row("R-02")
def test_the_set_up_code_sent_again_lets_its_owner_in(ground: Ground, trial: Trial) -> None:
    code, ada = ground.setup_code, ground.owner
    form = {"code": code, "farm": "Alder Yard", "name": "Ada", "email": ada.email, "password": PASSWORD}
    form |= {"device": ada.device, "device_name": "Phone"}
    for _ in range(min(trial.times, 3)):  # each costs a password's work
        hand = Recorded("Ada", "Ada", trial.history, trial.chance).at(ground.proxy.url)
        status, said = hand.line.ask("POST", "/api/setup", form)
        assert (status, said["farm"]["name"]) == (200, "Alder Yard")
    trial.says("POST /api/setup")


@pytest.mark.planted("R-02")
def test_a_server_that_does_it_anew_when_asked_again_is_noticed(ground: Ground, trial: Trial) -> None:
    """Played by a phone that gives the repeated operation and its record new ids."""
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    ada.adds("pick", block=BLOCK, flush=1, at="2026-05-03T07:40:00Z", wet_g=340.0, typed="340 g")
    with ground.line(only("POST", "/api/sync/push", Fate(answer_lost=True))), pytest.raises(NoAnswer):
        ada.push()
    ada.outbox[0] = ada.outbox[0] | {"id": ada.new_id(), "row": ada.new_id()}
    ada.gets_through()
    ground.ends(trial.history, ada)
    trial.notices("one pick kept twice", "I3", "I7")
