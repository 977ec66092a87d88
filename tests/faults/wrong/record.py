"""Records the two right histories that the wrong ones are made from, on a real server: python -m tests.faults.wrong.record

Two events in them are written by hand, for only a browser or a sweep could tell them: `restarted` and `swept`.
"""

import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from uuid import UUID

from tests.copies.sites import Line
from tests.faults.dumps import rows_read
from tests.faults.ground import Ground, prepared
from tests.faults.growers import weighs
from tests.faults.history import History
from tests.faults.nemesis import only
from tests.faults.proxy import Fate
from tests.faults.recorded import NoAnswer, Recorded
from tests.faults.tables import ask, id_of

HERE = Path(__file__).parent
BLOCK = "0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1b"


def main() -> None:
    chance = Random("right")
    with tempfile.TemporaryDirectory() as folder, prepared(Path(folder) / "farm") as ground:
        two_farms(ground, chance).write(HERE / "right.jsonl")
        put_back(ground, chance).write(HERE / "right_restored.jsonl")


def two_farms(ground: Ground, chance: Random) -> History:
    """Edits at the same time, a deletion and a bringing back, a refusal, a lost answer, pictures; a stranger's farm beside."""
    history = History("right", "right", "SQLite")
    farm, elsewhere = ground.new_farm(chance), ground.new_farm(chance)
    ada, bo = (ground.phone(name, farm, history, chance) for name in ("Ada", "Bo"))
    cy = ground.phone("Cy", elsewhere, history, chance)
    shed, tent = (ada.adds("place", name=name, note="") for name in ("North shed", "Tent"))
    pick = weighs(ada, BLOCK, 340)
    weighs(ada, BLOCK, 125)
    ada.gets_through()
    bo.gets_through()
    edits_at_once(ada, bo, shed, pick)
    ada.saves("patch", "place", tent, {"note": "by the road"})
    deletes_and_brings_back(ada, bo, tent)
    bo.saves("patch", "place", shed, {"name": " "})  # refused
    bo.photographs(40, BLOCK)
    loses_an_answer(ground, bo)
    cy.saves("add", "place", shed, {"name": "Cold store", "note": ""})  # the same id in another farm
    cy.adds("place", name="Quarry", note="far")
    for hand in (ada, bo, cy, ada):
        hand.gets_through()
    waits_with_some(ada)
    told_by_hand(history, bo)
    ground.ends(history, ada, bo, cy)
    return history


def edits_at_once(ada: Recorded, bo: Recorded, shed: str, pick: str) -> None:
    now = datetime.now(UTC)
    ada.saves("patch", "place", shed, {"name": "Cellar", "note": "damp"}, now - timedelta(hours=1))
    bo.saves("patch", "place", shed, {"name": "Polytunnel"}, now - timedelta(hours=2))
    ada.saves("patch", "pick", pick, {"wet_g": 350.0, "typed": "350 g"}, now - timedelta(hours=2))
    bo.saves("patch", "pick", pick, {"wet_g": 345.0, "typed": "345 g"}, now - timedelta(hours=1))
    ada.gets_through()
    bo.gets_through()


def deletes_and_brings_back(ada: Recorded, bo: Recorded, tent: str) -> None:
    gone = bo.adds("place", name="Lean-to", note="")
    bo.saves("delete", "place", gone)
    ada.gets_through()
    bo.gets_through()
    bo.saves("delete", "place", tent)
    bo.gets_through()
    ada.gets_through()
    ada.saves("restore", "place", tent)
    ada.gets_through()
    bo.gets_through()


def loses_an_answer(ground: Ground, bo: Recorded) -> None:
    with ground.line(only("POST", "/api/sync/push", Fate(copies=2, answer_lost=True))):
        try:
            bo.sync()
        except NoAnswer:
            return
    raise AssertionError("an answer came")


def waits_with_some(ada: Recorded) -> None:
    """Two are still in the outbox at the end, and one of them was thrown away."""
    ada.adds("place", name="Yard", note="")
    ada.adds("place", name="Loft", note="")
    dropped = ada.outbox.pop()
    ada.history.note(ada.who, "discarded", ops=[dropped["id"]])


def told_by_hand(history: History, bo: Recorded) -> None:
    saves = [event for event in history.events if event["what"] == "made" and event["who"] == bo.who]
    pictures = [sha for save in saves for sha in save["pictures"]]
    history.note(bo.who, "restarted", ops=[save["op"]["id"] for save in saves], pictures=pictures)
    files = [
        {"name": name, "age_h": age, "named": named}
        for name, age, named in (
            ("a.jpg", 9000, True),
            ("b.jpg", 2159, False),
            ("c.jpg", 2161, False),
            (".half", 49, False),
        )
    ]
    history.note("server", "swept", before=files, after=files[:2])
    answer = {"status": "applied", "seq": 1, "code": None}
    history.note("server", "recorded", name="place.add.v1", wanted=answer, given=answer)


def put_back(ground: Ground, chance: Random) -> History:
    """A copy is put back; both phones had gone on, one had deleted a record that the copy still shows."""
    history = History("right", "right", "SQLite")
    farm = ground.new_farm(chance)
    ada, bo = (ground.phone(name, farm, history, chance) for name in ("Ada", "Bo"))
    rows = [ada.adds("place", name=name, note="") for name in ("Tent", "Cellar", "Loft")]
    bo.saves("add", "place", bo.new_id(), {"name": "Yard", "note": ""})
    for hand in (ada, bo, ada):
        hand.gets_through()
    done = ground.site.run("backup")
    assert done.returncode == 0, done.stderr
    bo.saves("delete", "place", rows[0])
    weighs(bo, BLOCK, 340)
    bo.gets_through()
    ada.saves("patch", "place", rows[1], {"note": "damp"})
    weighs(ada, BLOCK, 125)
    ada.gets_through()
    puts_back(ground, history, farm, ada, bo)
    for hand in (ada, bo, ada, bo):
        hand.gets_through()
    ground.ends(history, ada, bo)
    return history


def puts_back(ground: Ground, history: History, farm: str, ada: Recorded, *others: Recorded) -> None:
    ground.served.stop()
    ((epoch,),) = ask(ground.site, "SELECT epoch FROM accounts_farm WHERE id = ?", UUID(farm))
    done = ground.site.run("restore", str(ground.site.copies()[0]), "--yes")
    assert done.returncode == 0, done.stderr
    ((head,),) = ask(ground.site, "SELECT seq FROM accounts_farm WHERE id = ?", UUID(farm))
    ground.start()
    # Its rows are read before any phone of the farm is let in.
    ada.enters(farm)
    rows = rows_read(Line(ground.served.url, ada.line.jar))
    history.note("server", "restored", farm=farm, rows=rows, head=head, epoch=id_of(epoch))
    for other in others:
        other.enters(farm)


if __name__ == "__main__":
    main()
