"""R-19 to R-21: logins that end, other people on the phone, members removed, phones signed out from afar."""

import threading
from uuid import UUID

import pytest

from tests.faults.authors import sent_as_another
from tests.faults.ground import Ground
from tests.faults.growers import does_something
from tests.faults.recorded import Recorded, TurnedAway
from tests.faults.tables import ask, order
from tests.faults.trial import Trial

WAITING = 500


def refused(hand: Recorded) -> tuple[int, str]:
    with pytest.raises(TurnedAway) as refusal:
        hand.sync()
    return refusal.value.status, refusal.value.code


def wrote(ground: Ground, hand: Recorded) -> int:
    """Operations of this device that were applied in its farm."""
    query = "SELECT count(*) FROM sync_change WHERE farm_id = ? AND device = ?"
    ((count,),) = ask(ground.site, query, UUID(hand.farm), UUID(hand.device))
    return int(count)


@pytest.mark.row("R-19")
def test_a_login_that_ends_with_500_waiting_loses_none_of_them(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    for _ in range(trial.times):
        while len(ada.outbox) < WAITING:
            does_something(ada, trial.chance)
        ways = ("UPDATE accounts_phone SET session_hash = '' WHERE device = ?",
                "UPDATE accounts_phone SET last_seen = '2020-01-01 00:00:00+00:00' WHERE device = ?")  # fmt: skip
        order(ground.site, trial.chance.choice(ways), UUID(ada.device))
        before, waiting = wrote(ground, ada), len(ada.outbox)
        assert refused(ada) == (401, "signed_out")
        does_something(ada, trial.chance)  # recording goes on
        assert wrote(ground, ada) == before
        assert len(ada.outbox) > waiting
        ada.enters(farm).gets_through()
    bo.gets_through()
    ground.ends(trial.history, ada, bo)
    trial.judge("I2", "I3", "I7", "I8")


@pytest.mark.row("R-20")
def test_what_one_person_recorded_is_not_taken_from_another_on_the_same_phone(
    ground: Ground, trial: Trial
) -> None:
    """The server's half of it: a batch made on another device is refused whole, whoever is signed in."""
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    bo = ground.phone("Bo", farm, trial.history, trial.chance)
    for _ in range(trial.times):
        does_something(ada, trial.chance)
        body = {"epoch": bo.epoch, "device": ada.device, "app_version": "test", "ops": ada.outbox}
        status, said = bo.line.ask("POST", "/api/sync/push", body)
        assert (status, said["code"]) == (403, "not_allowed")
        assert wrote(ground, ada) == len(ada.acked)  # those of earlier rounds
        ada.gets_through()
        bo.gets_through()
    ground.ends(trial.history, ada, bo)
    trial.judge("I2", "I3", "I7")


@pytest.mark.planted("R-20")
def test_what_is_sent_in_the_next_persons_name_is_noticed(ground: Ground, trial: Trial) -> None:
    """Played by a phone whose next person finds the outbox of the one before, and sends it."""
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    bo = ground.phone("Bo", farm, trial.history, trial.chance)
    for hand in (ada, bo):
        person = str(ground.people[hand.name])
        trial.history.note(hand.who, "phone", farm=farm, device=hand.device, person=person)
    ada.adds("place", name="Cellar", note="")
    bo.outbox, ada.outbox = ada.outbox, []
    bo.gets_through()
    ada.pull()
    ground.ends(trial.history, ada, bo)
    assert len(sent_as_another(trial.history.events)) == 2  # it was sent so, and it is kept so
    trial.says("an outbox sent by the next person on the phone")


@pytest.mark.row("R-21")
def test_nothing_is_applied_after_a_phone_was_shut_out(ground: Ground, trial: Trial) -> None:
    """Removed, or signed out from afar, at any moment of its sending. What it could not send waits on it."""
    shut_out = []
    for number in range(trial.times * 2):
        farm = ground.new_farm(trial.chance)
        history = trial.another()
        ada, bo, cy = (ground.phone(name, farm, history, trial.chance) for name in ("Ada", "Bo", "Cy"))
        for _ in range(60):
            does_something(bo, trial.chance)
        sending = threading.Thread(target=_sends_until_shut_out, args=(bo,))
        sending.start()
        threading.Event().wait(trial.chance.random() / 3)
        path = f"/api/farm/people/{ground.people['Bo']}" if number % 2 else f"/api/farm/phones/{bo.device}"
        status, said = ada.line.ask("DELETE", path)
        assert status == 204, said
        then = wrote(ground, bo)
        sending.join()
        assert wrote(ground, bo) == then
        assert refused(bo) == (401, "signed_out")
        does_something(bo, trial.chance)
        cy.gets_through()
        ada.gets_through()
        ground.ends(history, ada, bo, cy, reads=ada)
        trial.judge("I2", "I3", "I4", "I8", history=history)
        shut_out.append(then)
    trial.says(f"shut out after {min(shut_out)} to {max(shut_out)} changes")


def _sends_until_shut_out(hand: Recorded) -> None:
    """One change at a time, so that the door closes between two of them."""
    while any(op["id"] not in hand.acked for op in hand.outbox):
        try:
            hand.push(at_most=1)
        except TurnedAway as refusal:
            if refusal.status != 401:
                raise
            return


@pytest.mark.planted("R-21")
def test_what_is_written_in_the_name_of_somebody_shut_out_is_noticed(ground: Ground, trial: Trial) -> None:
    """A change that no phone made appears in the farm's history, with all that belongs to it."""
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    ghost = ground.phone("Bo", farm, trial.another(), trial.chance)
    ada.adds("place", name="Cellar", note="")
    ada.gets_through()
    ghost.adds("place", name="Tent", note="")
    ghost.push()
    ada.pull()
    ground.ends(trial.history, ada)
    trial.notices("a change that no phone of the farm made", "I3", "I7", "I10")
