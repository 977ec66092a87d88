"""A phone in these tests is a real Chromium with its own profile folder: it can be killed and opened again."""

import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import Browser, Page, Playwright

from tests.setup.chromium import executable

# The flags keep Chromium off the network and let it run as root inside a container.
FLAGS = (
    "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--window-size=390,844",
)  # fmt: skip
SIZE = {"width": 390, "height": 844}
PATIENCE_S = 20


@dataclass
class BrowserPhone:
    """One phone. `page` is the app's page; `complaints` is what the console and the network policy objected to."""

    playwright: Playwright
    profile: Path
    url: str
    complaints: list[str] = field(default_factory=list)
    _program: subprocess.Popen[bytes] | None = None
    _browser: Browser | None = None
    _page: Page | None = None

    @property
    def page(self) -> Page:
        assert self._page, "the phone is switched off"
        return self._page

    def open(self, path: str = "") -> Page:
        """Switches the browser on and goes to the app, as a tap on its icon would."""
        port_file = self.profile / "DevToolsActivePort"
        port_file.unlink(missing_ok=True)
        self._program = subprocess.Popen(
            [
                executable(),
                *FLAGS,
                f"--user-data-dir={self.profile}",
                "--remote-debugging-port=0",
                "about:blank",
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        self._browser = self.playwright.chromium.connect_over_cdp(f"http://127.0.0.1:{_port(port_file)}")
        context = self._browser.contexts[0]
        self._page = context.pages[0] if context.pages else context.new_page()
        self._page.set_viewport_size(SIZE)  # type: ignore[arg-type]
        self._page.on("console", lambda said: self._hear(said.type, said.text))
        self._page.on("pageerror", lambda error: self.complaints.append(f"uncaught: {error}"))
        self._page.goto(self.url + path, wait_until="domcontentloaded")
        return self._page

    def _hear(self, kind: str, text: str) -> None:
        # A server that is switched off on purpose shows as a failed request; everything else is a fault of ours.
        if kind == "error" and "net::ERR_" not in text and "status of 4" not in text:
            self.complaints.append(text)

    def close(self) -> None:
        """Switches the browser off in its own time, which also writes its cookies to the disk."""
        assert self._browser, "the phone is switched off"
        assert self._program
        self._browser.new_browser_cdp_session().send("Browser.close")
        self._program.wait(PATIENCE_S)
        self._program = self._browser = self._page = None

    def kill(self) -> None:
        """kill -9: no page gets to say goodbye."""
        if self._program is not None:
            self._program.kill()
            self._program.wait(PATIENCE_S)
        self._program = self._browser = self._page = None


def _port(port_file: Path) -> int:
    """Chromium writes the port it chose into its profile once it listens."""
    deadline = time.monotonic() + PATIENCE_S
    while time.monotonic() < deadline:
        lines = port_file.read_text().splitlines() if port_file.exists() else []
        if len(lines) >= 2:
            return int(lines[0])
        time.sleep(0.05)
    raise TimeoutError("Chromium did not start")


@contextmanager
def in_hand(playwright: Playwright, profile: Path, url: str) -> Iterator[BrowserPhone]:
    phone = BrowserPhone(playwright, profile, url)
    try:
        yield phone
    finally:
        phone.kill()
