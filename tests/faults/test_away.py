"""R-08 to R-10: phones away for weeks, wrong clocks on phones and on the server."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.faults.ground import Ground, prepared
from tests.faults.growers import SHEDS, days_ago, does_something, weighs
from tests.faults.recorded import Recorded
from tests.faults.trial import Trial
from tests.setup.server import CHECKOUT

EDITS, SHARED, WEEKS = 200, 40, 3
BLOCK = "0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1b"


def is_away(hand: Recorded, trial: Trial, shared: list[str]) -> None:
    """Three weeks of edits, each at its own time; 40 of them at the shared records, the others at its own."""
    own = [hand.adds("place", name=f"{hand.who}'s shelf", note="")]
    for number in range(EDITS):
        at = days_ago(7 * WEEKS * (1 - number / EDITS) + trial.chance.random() / 100)
        row = shared[number] if number < SHARED else trial.chance.choice(own)
        words = {"name": trial.chance.choice(SHEDS)} if number % 2 else {"note": f"{hand.who} {number}"}
        hand.saves("patch", "place", row, words, at)


def said_of(hand: Recorded, row: str) -> list[object]:
    """What its unsent changes say of a record."""
    return [op["fields"] for op in hand.outbox if op["row"] == row]


@pytest.mark.row("R-08")
def test_two_phones_away_for_three_weeks_keep_both_values(ground: Ground, trial: Trial) -> None:
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    disputed: set[str] = set()
    for _ in range(trial.times):
        shared = [ada.adds("place", name="North shed", note="") for _ in range(SHARED)]
        ada.gets_through()
        bo.gets_through()
        for hand in trial.chance.sample([ada, bo], 2):
            is_away(hand, trial, shared)
        disputed |= {row for row in shared if said_of(ada, row) != said_of(bo, row)}
        for hand in trial.chance.sample([ada, bo], 2):
            hand.gets_through()
        ada.gets_through()
        bo.gets_through()
    ground.ends(trial.history, ada, bo)
    dump = next(event for event in reversed(trial.history.events) if event["who"] == "server")
    at_once = {change["row"] for change in dump["changes"] if change["lost"]}
    later = {told["row"] for hand in (ada, bo) for told in hand.outvoted}
    assert disputed <= at_once | later
    assert not at_once & later  # of two people one is told
    trial.says(
        f"{len(at_once)} were told by the answer that another value stands, {len(later)} with a later page"
    )
    trial.judge("I2", "I3", "I5", "I7", "I8", "I12")


CLOCKS = {
    "a day behind": timedelta(days=-1),
    "a day ahead": timedelta(days=1),
    "five years behind": timedelta(days=-5 * 365),
    "five years ahead": timedelta(days=5 * 365),
    "ten years ahead": timedelta(days=3653),
    "in 1970": datetime(1970, 1, 2, tzinfo=UTC) - datetime.now(UTC),
    "in 2100": datetime(2100, 1, 1, tzinfo=UTC) - datetime.now(UTC),
    "an hour off, as in the night when clocks change": timedelta(hours=1),
    "twelve minutes ahead": timedelta(minutes=12),
}


@pytest.mark.row("R-09")
def test_a_wrong_clock_decides_nothing_but_ties(ground: Ground, trial: Trial) -> None:
    """The phones' own hours, as if nothing had corrected them: the harder case."""
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    first = trial.chance.randrange(len(CLOCKS))
    for number in range(trial.times):
        ada.skew = list(CLOCKS.values())[(first + number) % len(CLOCKS)]
        pick = weighs(ada, BLOCK, 340)
        ada.gets_through()
        bo.gets_through()
        # One after the other, each having seen the other's: no clock has a say.
        for hand, grams in ((bo, 345), (ada, 350), (bo, 355)):
            hand.saves("patch", "pick", pick, {"wet_g": float(grams), "typed": f"{grams} g"})
            hand.gets_through()
            ada.gets_through()
            bo.gets_through()
            assert bo.confirmed[pick]["fields"]["wet_g"] == grams
        for hand in (ada, bo):
            does_something(hand, trial.chance)
        ada.gets_through()
        bo.gets_through()
    ada.gets_through()
    ground.ends(trial.history, ada, bo)
    trial.says(f"{min(trial.times, len(CLOCKS))} clocks")
    trial.judge("I3", "I7", "I12", "I13")


@pytest.mark.planted("R-09")
def test_a_server_that_asks_clocks_where_nobody_disputes_is_noticed(ground: Ground, trial: Trial) -> None:
    """Such a server is played by a phone that claims to have seen nothing: then its clock does decide."""
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    ada.skew = -timedelta(days=3650)
    row = bo.adds("place", name="Cellar", note="")
    bo.gets_through()
    ada.gets_through()
    ada.saves("patch", "place", row, {"name": "Tent"})
    seen = ada.outbox[-1]["base"]
    ada.outbox[-1]["base"] = 0
    ada.gets_through()
    bo.gets_through()
    ground.ends(trial.history, ada, bo)
    for event in trial.history.events:
        for sent in event.get("ops", []) if event["what"] == "invoke" else []:
            sent["base"] = sent["base"] or (seen if sent["id"] == ada.made[-1] else 0)
    trial.notices("a wrong clock outvotes who had seen the value", "I12", "I7")


JUMPS = [
    timedelta(days=days, hours=hours) for days, hours in ((1, 0), (-1, 0), (30, 0), (-30, 0), (0, 1), (0, -1))
]


@pytest.mark.row("R-10")
def test_a_server_whose_clock_jumps_keeps_every_promise(trial: Trial, tmp_path: Path) -> None:
    clock = tmp_path / "clock"
    clock.write_text("0")
    path = f"{Path(__file__).parent / 'jumping'}:{CHECKOUT}"
    with prepared(tmp_path / "farm", {"PYTHONPATH": path, "JUMPING_CLOCK": str(clock)}) as ground:
        farm = ground.new_farm(trial.chance)
        ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
        for number in range(trial.times):
            jump = JUMPS[number % len(JUMPS)]
            clock.write_text(str(jump.total_seconds()))
            _, session = ada.line.ask("GET", "/api/session")
            off = datetime.fromisoformat(session["server_time"].replace("Z", "+00:00")) - datetime.now(UTC)
            assert abs(off - jump) < timedelta(minutes=2)  # the clock did move
            for hand in (ada, bo, ada):
                for _ in range(5):
                    does_something(hand, trial.chance)
                hand.gets_through()
        for hand in (ada, bo, ada):
            hand.gets_through()
        ground.ends(trial.history, ada, bo)
    trial.judge("I2", "I3", "I4", "I5", "I6", "I7", "I9", "I12", "I13")
