"""A real server on a real port, and phones that are real browsers."""

import signal
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect, sync_playwright

from tests.browser.phones import BrowserPhone, in_hand
from tests.setup.server import Served, free_port, start

expect.set_options(timeout=15_000)


@dataclass
class Shed:
    """The farm's server: it can be killed in the middle of anything and started again where it stood."""

    folder: Path
    port: int
    served: Served

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    @property
    def setup_code(self) -> str:
        """As its owner reads it off the console."""
        code = [word for word in self.served.greeting.split() if word.count("-") == 2]
        assert code, self.served.greeting
        return code[0].strip(".")

    def kill(self) -> None:
        if self.served.program.poll() is None:
            self.served.stop(signal.SIGKILL)

    def start(self) -> None:
        self.served = start(self.folder, self.port)


@pytest.fixture
def shed(tmp_path: Path) -> Iterator[Shed]:
    folder, port = tmp_path / "data", free_port()
    shed = Shed(folder, port, start(folder, port))
    yield shed
    shed.kill()


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as running:
        yield running


NewPhone = Callable[[], BrowserPhone]


@pytest.fixture
def new_phone(playwright: Playwright, shed: Shed, tmp_path: Path) -> Iterator[NewPhone]:
    """Each call is another phone. At the end none of them may have complained."""
    phones: list[BrowserPhone] = []
    with ExitStack() as hands:

        def hand_over() -> BrowserPhone:
            phone = hands.enter_context(in_hand(playwright, tmp_path / f"phone-{len(phones)}", shed.url))
            phones.append(phone)
            return phone

        yield hand_over
    assert [complaint for phone in phones for complaint in phone.complaints] == []
