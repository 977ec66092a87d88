"""A real phone on a line that is overheard: what lies in its storage is told to the history too."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from typing import Any

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import Grower
from tests.copies.sites import Line, Site
from tests.faults.chromium.shed_work import Work, blocks_for
from tests.faults.dumps import dump_of
from tests.faults.history import History
from tests.faults.overheard import Overheard
from tests.faults.proxy import Proxy
from tests.faults.trial import Trial

Json = dict[str, Any]
# Of each person's database on this phone: everything the judge asks for.
READ_ALL = """async () => {
  const names = (await indexedDB.databases()).map(({ name }) => name).filter((name) => name.startsWith("harvestlog/"));
  const told = {};
  for (const name of names) {
    const db = await new Promise((resolve, reject) => {
      const opening = indexedDB.open(name);
      opening.onsuccess = () => resolve(opening.result);
      opening.onerror = () => reject(opening.error);
    });
    const tx = db.transaction(["confirmed", "outbox", "parked", "sent", "marks", "meta"]);
    const asked = (asking) => new Promise((resolve, reject) => {
      asking.onsuccess = () => resolve(asking.result);
      asking.onerror = () => reject(asking.error);
    });
    const ops = async (store) => (await asked(tx.objectStore(store).getAll())).map(({ op }) => op);
    const marks = asked(tx.objectStore("marks").getAll());
    const [confirmed, outbox, parked, sent, meta] = await Promise.all([
      asked(tx.objectStore("confirmed").getAll()), ops("outbox"), ops("parked"), ops("sent"),
      asked(tx.objectStore("meta").get("progress")),
    ]);
    const pictures = (await marks).filter(({ state }) => state === "waiting").map(({ sha256 }) => sha256);
    told[name.split("/")[2]] = { confirmed, outbox, parked, sent, pictures, ...meta };
    db.close();
  }
  return told;
}"""


class PhoneTold:
    """One browser, `line` before it. Each person who signs in on it is one of the history's phones."""

    def __init__(self, grower: Grower, line: Overheard) -> None:
        self.grower, self.line = grower, line
        self._made: set[str] = set()

    def kept(self) -> dict[str, Json]:
        """What lies in its storage, by who it belongs to."""
        found = self.grower.page.evaluate(READ_ALL)
        return {self.line.persons[person]: held for person, held in found.items()}

    @property
    def farm(self) -> str:
        """Of whoever came first."""
        return next(str(event["farm"]) for event in self.line.history.events if event["what"] == "phone")

    def tells_what_was_made(self) -> None:
        """Read out of its storage, where a save has just put it; whoever typed it knows that it was saved."""
        for who, held in self.kept().items():
            for op in (*held["outbox"], *held["parked"], *held["sent"]):
                if op["id"] not in self._made:
                    self._made.add(op["id"])
                    self.line.history.note(who, "made", op=op, shown=True, pictures=[])

    def ends(self, but: Callable[[Json], Json | None] = lambda row: row) -> None:
        """`but` takes away from its rows what the line has put in."""
        for who, held in self.kept().items():
            held["confirmed"] = [row for row in map(but, held["confirmed"]) if row is not None]
            told = {
                name: held[name]
                for name in ("confirmed", "outbox", "pictures", "cursor", "checkpoint", "epoch")
            }
            told |= {name: [op["id"] for op in held[name]] for name in ("parked", "sent")}
            self.line.history.note(who, "dump", **told)


@contextmanager
def told(new_phone: NewPhone, history: History, port: int, name: str) -> Iterator[PhoneTold]:
    """Opened, nobody signed in."""
    proxy = Proxy(port)
    grower = Grower(new_phone())
    grower.phone.url = proxy.url
    try:
        grower.phone.open()
        yield PhoneTold(grower, Overheard(history, proxy, name))
    finally:
        grower.phone.kill()
        proxy.close()


def at_the_farm(shed: Shed, phone: PhoneTold, trial: Trial, folder: Path, picks: int = 1) -> Work:
    """Olga has started her farm on this phone, with blocks for so many picks each time."""
    phone.grower.starts_a_farm(shed.setup_code)
    labels = phone.grower.writes_down_a_delivery(blocks=blocks_for(picks * trial.times))
    phone.grower.has_sent_everything().is_ready_for_no_signal()
    phone.tells_what_was_made()
    return Work(phone.grower, labels, folder, trial.history, trial.chance)


def saves(phone: PhoneTold, work: Work) -> int:
    """A pick with a picture; its weight."""
    grams = work.stands_at_the_scale()
    is_saved(phone)
    return grams


def is_saved(phone: PhoneTold) -> None:
    phone.grower.saves().sees("Weigh next")
    phone.tells_what_was_made()
    phone.grower.taps("See the block")


def on_this_phone(held: Json) -> set[int]:
    """Weights of the picks in one person's storage, confirmed or not."""
    rows = [*held["confirmed"], *(op for op in held["outbox"] if op["verb"] == "add")]
    return {round(row["fields"]["wet_g"]) for row in rows if row["kind"] == "pick"}


def server_ends(shed: Shed, history: History, email: str, password: str, chance: Random) -> None:
    """How the server stands, read by a phone that starts anew."""
    line = Line(shed.url)
    device = f"{chance.getrandbits(32):08x}-0000-4000-8000-000000000000"
    form = {"email": email, "password": password, "device": device, "device_name": "To read"}
    status, session = line.ask("POST", "/api/session", form)
    assert status == 200, session
    history.note("server", "dump", **dump_of(Site(shed.folder), session["farm"]["id"], line))
