"""I11: every recorded operation of an older phone, against the server that runs, told to the judge."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.faults.ground import Ground
from tests.faults.recorded import Recorded
from tests.faults.rows import RELEASE
from tests.faults.trial import Trial

RECORDED = Path(__file__).parents[2] / "fixtures" / "sync"


def sends(hand: Recorded, name: str) -> None:
    """In a farm of its own, after what it follows; the answer goes to the judge."""
    file = json.loads((RECORDED / name).read_text(encoding="utf-8"))
    before = [json.loads((RECORDED / file["after"]).read_text(encoding="utf-8"))] if "after" in file else []
    for each in (*before, file):
        answer = _answer(hand, each["operation"])
        hand.history.note("server", "recorded", name=name, wanted=each["result"], given=answer)


def _answer(hand: Recorded, op: dict[str, Any]) -> dict[str, Any]:
    hand.outbox.append(op)
    hand.made.append(op["id"])
    hand.history.note(hand.who, "made", op=op, shown=True, pictures=[])
    (answer,) = hand.push()
    return answer


def _pictures(row: dict[str, Any]) -> list[str]:
    return [row["fields"][name] for name in ("sha256", "thumb_sha256")] if row["kind"] == "photo" else []


@pytest.mark.row("I11")
def test_older_phones_are_answered_as_recorded(ground: Ground, trial: Trial) -> None:
    names = sorted(path.name for path in RECORDED.glob("*.json"))
    hands = []
    names = names if RELEASE else trial.chance.sample(names, trial.times)
    for number, name in enumerate(names):
        # Numbers are recorded as an empty farm gives them.
        farm = ground.new_farm(trial.chance)
        hand = Recorded(f"Ada {number}", "Ada", trial.history, trial.chance)
        hand.at(ground.proxy.url)
        hand.enters(farm).pull()
        sends(hand, name)
        hand.pull()
        # The pictures that it speaks of would lie on that phone.
        hand.pictures = {sha: b"" for row in hand.confirmed.values() for sha in _pictures(row)}
        hands.append(hand)
    ground.ends(trial.history, *hands)
    trial.says(f"{len(names)} recorded operations")
    trial.judge("I2", "I3", "I7", "I11")
