"""R-28: a start that changes the tables of an older release is killed; the next one makes it good."""

import os
import signal
import subprocess
import sys
import time
from collections import Counter
from contextlib import suppress

import pytest

from tests.copies.sites import Line
from tests.faults.dumps import rows_read
from tests.faults.ground import Ground
from tests.faults.growers import does_something
from tests.faults.tables import ask
from tests.faults.trial import Trial
from tests.setup import server

COUNT = "SELECT count(*) FROM django_migrations"


def back_to_an_older_release(ground: Ground) -> None:
    """The newest changes of two apps taken back; what records they hold stays."""
    env = server.environment(ground.site.more | {"HARVESTLOG_DATA": str(ground.site.folder)})
    for app, to in (("sync", "0001"), ("blocks", "0001")):
        words = [sys.executable, "-m", "django", "migrate", app, to, "--settings", "harvestlog.settings"]
        subprocess.run(words, check=True, capture_output=True, env=env)


def is_started_and_killed(ground: Ground, seconds: float, steps: int | None) -> bool:
    """Killed after so many seconds, or as soon as more than `steps` are done. Whether it was before it served."""
    said = ground.site.folder.parent / "killed.txt"
    with said.open("w") as out:
        program = subprocess.Popen(
            [*server.command(), "up", "--port", str(server.free_port()), "--data", str(ground.site.folder)],
            stdout=out, stderr=subprocess.STDOUT, env=server.environment(ground.site.more),
            start_new_session=True, cwd="/",
        )  # fmt: skip
        deadline = time.monotonic() + (seconds if steps is None else 20)
        while time.monotonic() < deadline and (steps is None or ask(ground.site, COUNT) == [(steps,)]):
            time.sleep(0.002 if steps is not None else seconds)
        with suppress(ProcessLookupError):
            os.killpg(program.pid, signal.SIGKILL)
        program.wait()
    return "Stop it" not in said.read_text()


def is_upgraded_in_two_starts(
    ground: Ground, trial: Trial, line: Line, seconds: float, at_step: bool
) -> int | None:
    """The first is killed. How many steps it had left, None where it served before it was killed."""
    rows, whole = rows_read(line), ask(ground.site, COUNT)
    ground.served.stop()
    back_to_an_older_release(ground)
    ((old,),) = ask(ground.site, COUNT)
    killed = is_started_and_killed(ground, seconds, old if at_step else None)
    ((left,),) = ask(ground.site, COUNT)
    trial.history.note("server", "killed")
    ground.start(trial.history)
    assert ask(ground.site, COUNT) == whole
    assert rows_read(Line(ground.served.url, line.jar)) == rows
    assert any(copy.name.endswith("before-upgrade") for copy in ground.site.copies())
    return int(whole[0][0]) - left if killed else None


@pytest.mark.row("R-28")
def test_a_killed_change_of_the_tables_is_completed_by_the_next_start(
    trial: Trial, own_ground: Ground
) -> None:
    ground = own_ground
    farm = ground.new_farm(trial.chance)
    ada, bo = (ground.phone(name, farm, trial.history, trial.chance) for name in ("Ada", "Bo"))
    began = time.monotonic()
    ground.kill()
    ground.start()
    seconds = time.monotonic() - began
    found: Counter[int | None] = Counter()
    for number in range(trial.times):
        for _ in range(5):
            does_something(ada, trial.chance)
        ada.gets_through()
        pause = trial.chance.uniform(0.3, 1.1) * seconds
        line = Line(ground.served.url, ada.line.jar)
        found[is_upgraded_in_two_starts(ground, trial, line, pause, at_step=number % 2 == 1)] += 1
    bo.gets_through()
    ada.gets_through()
    ground.ends(trial.history, ada, bo)
    steps = ", ".join(f"{count} with {left} steps to go" for left, count in found.items() if left is not None)
    trial.says(f"killed before serving: {steps or 'none'}; a copy was taken first")
    trial.judge("I3", "I4", "I7")
