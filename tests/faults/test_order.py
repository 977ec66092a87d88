"""R-05 to R-07: other orders, other bodies, other farms."""

import itertools
import json
from datetime import datetime, timedelta

import pytest

from tests.copies.sites import Line
from tests.faults.dumps import rows_read
from tests.faults.ground import Ground
from tests.faults.growers import AT, days_ago
from tests.faults.recorded import Recorded
from tests.faults.trial import Trial

ORDERS = list(itertools.permutations(range(5)))


def five_batches(hands: list[Recorded], began: datetime) -> dict[str, str]:
    """A delivery with a block; a pick of that block; two corrections of the pick at odds; a deletion. One phone each."""
    ids = {name: hands[0].new_id() for name in ("block", "pick", "shed")}
    variety = hands[0].new_id()
    block = {"label": "22222", "variety": variety, "form": "bag", "wet_g": 3000.0, "dry_basis": "none"}

    def at(hours: int) -> datetime:
        return began + timedelta(hours=hours)

    hands[0].saves("add", "block", ids["block"], block, at(0))
    hands[0].saves("add", "place", ids["shed"], {"name": "Cellar", "note": ""}, at(0))
    pick = {"block": ids["block"], "flush": 1, "at": AT, "wet_g": 340.0, "typed": "340 g"}
    hands[1].saves("add", "pick", ids["pick"], pick, at(1))
    hands[2].saves("patch", "pick", ids["pick"], {"wet_g": 350.0, "typed": "350 g"}, at(3))
    hands[3].saves("patch", "pick", ids["pick"], {"wet_g": 345.0, "typed": "345 g"}, at(2))
    hands[4].saves("delete", "place", ids["shed"], {}, at(4))
    return ids


def settled(rows: list[dict[str, object]], ids: dict[str, str]) -> str:
    """The end state of these records, with names for ids and without numbers."""
    names = {id: name for name, id in ids.items()}
    end = {names[str(row["id"])]: [row["deleted"], row["fields"]] for row in rows if row["id"] in names}
    text = json.dumps(end, sort_keys=True)
    for id, name in names.items():
        text = text.replace(id, name)
    return text


@pytest.mark.row("R-05")
def test_five_batches_have_one_end_in_every_order(ground: Ground, trial: Trial) -> None:
    """What comes before its record is told to come again, and does."""
    farm = ground.new_farm(trial.chance)
    hands = [ground.phone(f"Ada {n}", farm, trial.history, trial.chance, "Ada") for n in range(5)]
    orders = ORDERS if trial.times == len(ORDERS) else trial.chance.sample(ORDERS, trial.times)
    ends, all_ids, variety = set[str](), list[dict[str, str]](), ""
    for order in orders:
        ids = five_batches(hands, days_ago(2))
        all_ids.append(ids)
        waiting = [hands[number] for number in order]
        while waiting:
            waiting = [hand for hand in waiting if any(r["status"] == "retry" for r in hand.push())]
    for hand in hands:
        hand.pull()
    rows = rows_read(Line(ground.served.url, hands[0].line.jar))
    for ids in all_ids:
        variety = next(str(row["fields"]["variety"]) for row in rows if row["id"] == ids["block"])
        ends.add(settled(rows, ids).replace(variety, "variety"))
    assert len(ends) == 1, ends
    assert '"350 g"' in ends.pop()
    ground.ends(trial.history, *hands)
    trial.judge("I2", "I3", "I7", "I9", "I12")


@pytest.mark.planted("R-05")
def test_a_server_that_lets_the_last_to_arrive_stand_is_noticed(ground: Ground, trial: Trial) -> None:
    """As such a server would: the phones' times are made equal to the order of arrival on their way to the judge."""
    farm = ground.new_farm(trial.chance)
    hands = [ground.phone(f"Ada {n}", farm, trial.history, trial.chance, "Ada") for n in range(5)]
    five_batches(hands, days_ago(2))
    for hand in hands:
        hand.push()
    for hand in hands:
        hand.pull()
    ground.ends(trial.history, *hands)
    for event in trial.history.events:
        if event["what"] == "made" and event["who"] == "Ada 2":
            event["op"]["at"] = days_ago(3).isoformat()
    trial.notices("the later arrival stands instead of the later edit", "I3", "I7")


@pytest.mark.row("R-06")
def test_an_operation_id_stands_for_one_body(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada = ground.phone("Ada", farm, trial.history, trial.chance)
    for number in range(trial.times):
        row = ada.adds("place", name=f"Shelf {number}", note="")
        op = dict(ada.outbox[-1])
        ada.push()
        other = op | trial.chance.choice(
            [{"fields": {"name": "Tent", "note": ""}}, {"row": ada.new_id()}, {"verb": "patch"}]
        )
        body = {"epoch": ada.epoch, "device": ada.device, "app_version": "test", "ops": [other]}
        status, said = ada.line.ask("POST", "/api/sync/push", body)
        assert (status, said["results"][0]["status"], said["results"][0]["code"]) == (
            200,
            "rejected",
            "id_reused",
        )
        assert said["results"][0]["message"].endswith("gets an id of its own.")
        ada.pull()
        assert ada.confirmed[row]["fields"]["name"] == f"Shelf {number}"
    ground.ends(trial.history, ada)
    trial.judge("I2", "I3", "I7")


@pytest.mark.row("R-07")
def test_the_same_ids_from_two_farms_are_two_records(ground: Ground, trial: Trial) -> None:
    farms = [ground.new_farm(trial.chance) for _ in range(2)]
    ada, bo = (
        ground.phone(name, farm, trial.history, trial.chance)
        for name, farm in zip(("Ada", "Bo"), farms, strict=True)
    )
    for number in range(trial.times):
        row = ada.adds("place", name=f"Ada's shelf {number}", note="")
        bo.saves("add", "place", row, {"name": f"Bo's shelf {number}", "note": ""})
        bo.outbox[-1]["id"] = ada.outbox[-1]["id"]
        _says_the_same_id(trial, bo)
        for hand in (ada, bo):
            hand.gets_through()
        assert ada.confirmed[row]["fields"]["name"] != bo.confirmed[row]["fields"]["name"]
    ground.ends(trial.history, ada, bo)
    trial.judge("I2", "I3", "I5", "I7", "I10")


def _says_the_same_id(trial: Trial, bo: Recorded) -> None:
    """The event was written before the id was changed."""
    made = next(event for event in reversed(trial.history.events) if event["what"] == "made")
    made["op"]["id"] = bo.made[-1] = bo.outbox[-1]["id"]
