"""Where a fault is tried: a real server process on its own folder and database, the line in front of it, and farms on it."""

import signal
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from uuid import UUID

from tests.copies.sites import Hand, Line, Site, new_site
from tests.faults.dumps import dump_of
from tests.faults.history import History
from tests.faults.proxy import SAFE, Plan, Proxy
from tests.faults.recorded import Recorded
from tests.faults.tables import ask, connected, id_of, run
from tests.setup.server import Served

PEOPLE = ("Ada", "Bo", "Cy")


@dataclass
class Ground:
    site: Site
    served: Served
    proxy: Proxy
    people: dict[str, UUID] = field(default_factory=dict)
    owner: Hand = field(default_factory=lambda: Hand("Ada"))
    setup_code: str = ""

    def kill(self, history: History | None = None) -> None:
        self.served.stop(signal.SIGKILL)
        if history:
            history.note("server", "killed")

    def start(self, history: History | None = None) -> None:
        self.served = _up(self.site)
        self.proxy.port_of_server = int(self.served.url.rstrip("/").rpartition(":")[2])
        if history:
            history.note("server", "started")

    def alive(self) -> bool:
        return self.served.program.poll() is None

    @contextmanager
    def line(self, plan: Plan) -> Iterator[None]:
        self.proxy.plan = plan
        try:
            yield
        finally:
            self.proxy.plan = lambda asked: SAFE

    def new_farm(self, chance: Random, **roles: str) -> str:
        """A farm of its own in the same database; everybody owns it unless told otherwise."""
        farm, epoch = (UUID(int=chance.getrandbits(128), version=4) for _ in range(2))
        with connected(self.site) as base:
            run(
                base,
                "INSERT INTO accounts_farm (id, name, currency, is_demo, seq, epoch, made) VALUES (?, ?, ?, ?, ?, ?, ?)",
                farm, "Alder Yard", "EUR", False, 0, epoch, datetime.now(UTC),
            )  # fmt: skip
            for name, person in self.people.items():
                run(
                    base,
                    "INSERT INTO accounts_membership (farm_id, person_id, role) VALUES (?, ?, ?)",
                    farm, person, roles.get(name, "owner"),
                )  # fmt: skip
        return str(farm)

    def phone(self, name: str, farm: str, history: History, chance: Random, person: str = "") -> Recorded:
        """Signed in over the line, and up to date."""
        hand = Recorded(name, person or name, history, chance)
        hand.at(self.proxy.url)
        hand.enters(farm).pull()
        return hand

    def ends(self, history: History, *hands: Recorded, reads: Recorded | None = None) -> None:
        """Everything written down for the judge; `reads` is who still may read for the server's part."""
        for farm in {hand.farm for hand in hands}:
            reader = reads or next(hand for hand in hands if hand.farm == farm)
            line = Line(self.served.url, reader.line.jar)
            history.note("server", "dump", **dump_of(self.site, farm, line))
        for hand in hands:
            hand.ends()


def _up(site: Site) -> Served:
    """Another port where somebody took ours between finding and using it; any other trouble in the server's words."""
    while True:
        try:
            return site.up()
        except (AssertionError, ProcessLookupError) as trouble:
            files = site.folder.parent.glob("said-on-*.txt")
            said = max(files, key=lambda file: file.stat().st_mtime).read_text()
            if "is in use" not in said:
                raise AssertionError(f"the server did not start: {said}") from trouble


@contextmanager
def prepared(folder: Path, more: Mapping[str, str] | None = None) -> Iterator[Ground]:
    """Ada's farm is set up; Bo and Cy have accounts. `more` goes into the server's environment."""
    with new_site(folder) as site:
        site.more |= more or {}
        served = site.up()
        ground = Ground(site, served, Proxy(int(served.url.rstrip("/").rpartition(":")[2])))
        try:
            ground.setup_code = served.greeting.split("Set-up code for your farm: ")[1].split()[0]
            ground.owner.set_up(served)
            for name in PEOPLE[1:]:
                Hand(name).join(ground.owner, "owner")
            ground.people = {
                str(name): UUID(id_of(id)) for name, id in ask(site, "SELECT name, id FROM accounts_person")
            }
            yield ground
        finally:
            ground.proxy.close()
            if ground.alive():
                ground.served.stop()
