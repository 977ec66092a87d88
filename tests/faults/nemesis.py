"""Who does the harm: kills at instants drawn from a seed, and fates for single requests."""

import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from random import Random

from tests.faults.ground import Ground
from tests.faults.proxy import SAFE, Asked, Fate, Plan

ANSWER_OF_A_HOTEL = (
    b"HTTP/1.1 200 OK\r\nContent-Type: text/html\r\nContent-Length: 26\r\nConnection: close\r\n\r\n"
    b"<h1>Welcome, sign in</h1>\n"
)


@contextmanager
def killed_after(ground: Ground, seconds: float) -> Iterator[None]:
    """SIGKILL to all of the server's processes so long after the first request of the block has gone out whole."""
    begun = threading.Event()

    def plan(asked: Asked) -> Fate:
        begun.set()
        return SAFE

    def kill() -> None:
        begun.wait(20)
        time.sleep(seconds)
        os.killpg(ground.served.program.pid, signal.SIGKILL)

    killer = threading.Thread(target=kill)
    with ground.line(plan):
        killer.start()
        try:
            yield
        finally:
            begun.set()
            killer.join()
            ground.served.program.wait(20)


def harsh(chance: Random, often: float = 0.3) -> Plan:
    """A line on which so many of the requests meet something, each its own."""

    def plan(asked: Asked) -> Fate:
        if asked.path.startswith("/api/session") or chance.random() > often:
            return SAFE
        return chance.choice(FATES)(asked, chance)

    return plan


FATES: tuple[Callable[[Asked, Random], Fate], ...] = (
    lambda asked, chance: Fate(answer_lost=True),
    lambda asked, chance: Fate(copies=chance.randint(2, 4)),
    lambda asked, chance: Fate(copies=chance.randint(2, 4), at_once=True),
    lambda asked, chance: Fate(cut_at=chance.randrange(1, len(asked.raw))),
    lambda asked, chance: Fate(delay_s=chance.random() / 20),
    lambda asked, chance: Fate(forged=ANSWER_OF_A_HOTEL),
    lambda asked, chance: Fate(copies=2, answer_lost=True),
)


def only(method: str, path: str, fate: Fate, times: int = 1) -> Plan:
    """That fate for the first so many requests of one sort."""
    left = [times]

    def plan(asked: Asked) -> Fate:
        if asked.method != method or not asked.path.startswith(path) or left[0] == 0:
            return SAFE
        left[0] -= 1
        return fate

    return plan


class Holds:
    """Requests of one sort wait in the line until `goes_on` is set, or for as long as a phone would."""

    def __init__(self, path: str) -> None:
        self.path, self.under_way, self.goes_on = path, threading.Event(), threading.Event()

    def plan(self, asked: Asked) -> Fate:
        if asked.path.startswith(self.path):
            self.under_way.set()
            self.goes_on.wait(30)
        return SAFE
