"""`harvestlog up` as a program of its own, the way its owner starts it."""

import json
import os
import re
import shlex
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

CHECKOUT = Path(__file__).resolve().parents[2]
INSTALLED = os.environ.get("TRY_COMMAND", "")
PATIENCE_S = 20


def command() -> list[str]:
    """How to start it: this checkout, or the installed package that TRY_COMMAND names."""
    return shlex.split(INSTALLED) or [sys.executable, "-m", "harvestlog"]


def environment(more: Mapping[str, str] | None = None) -> dict[str, str]:
    """The caller's environment without any farm of theirs."""
    kept = {
        name: value for name, value in os.environ.items() if not name.startswith(("HARVESTLOG_", "DJANGO_"))
    }
    if not INSTALLED:
        kept["PYTHONPATH"] = str(CHECKOUT)
    return {**kept, **(more or {})}


def free_port() -> int:
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])


@dataclass
class Served:
    """A server that has greeted its owner."""

    folder: Path
    program: subprocess.Popen[bytes]
    greeting: str
    seconds: float

    @property
    def url(self) -> str:
        found = re.search(r"https?://\S+/", self.greeting)
        assert found, self.greeting
        return found[0]

    def fetch(self, path: str) -> tuple[int, str]:
        """Status and content type."""
        with self._ask("GET", path) as answer:
            return answer.status, answer.headers["Content-Type"]

    def post(self, path: str, body: object) -> tuple[int, dict[str, Any]]:
        """Status and answer of a call by a phone that has just opened the page."""
        with self._ask("GET", "/api/session") as session:
            cookie = session.headers["Set-Cookie"].split(";")[0]
        headers = {"Cookie": cookie, "X-CSRFToken": cookie.split("=")[1], "Content-Type": "application/json"}
        with self._ask("POST", path, json.dumps(body).encode(), headers) as answer:
            return answer.status, json.load(answer)

    def _ask(
        self, method: str, path: str, body: bytes | None = None, headers: Mapping[str, str] | None = None
    ) -> Any:
        asked = urllib.request.Request(self.url + path.lstrip("/"), body, dict(headers or {}), method=method)  # noqa: S310
        try:
            return urllib.request.urlopen(asked, timeout=PATIENCE_S)  # noqa: S310
        except urllib.error.HTTPError as refusal:  # an answer like any other
            return refusal

    def stop(self, by: signal.Signals = signal.SIGTERM) -> int:
        """The exit code. SIGKILL takes all of its processes at once, as a power cut would."""
        if by == signal.SIGKILL:
            os.killpg(self.program.pid, by)
        else:
            self.program.send_signal(by)
        return self.program.wait(PATIENCE_S)


def start(folder: Path, port: int, *options: str, more: Mapping[str, str] | None = None) -> Served:
    """Starts it with its data in `folder`, its words in a file beside; returns when it says where it is."""
    began = time.monotonic()
    said = folder.parent / f"said-on-{port}.txt"
    with said.open("w") as out:
        program = subprocess.Popen(
            [*command(), "up", "--port", str(port), "--data", str(folder), *options],
            stdout=out,
            stderr=subprocess.STDOUT,
            cwd="/",
            env=environment(more),
            start_new_session=True,  # a process group of its own
        )
    while "Stop it" not in said.read_text():
        if program.poll() is not None or time.monotonic() > began + PATIENCE_S:
            os.killpg(program.pid, signal.SIGKILL)
            raise AssertionError(said.read_text())
        time.sleep(0.01)
    return Served(folder, program, said.read_text(), time.monotonic() - began)


def refused(folder: Path, *options: str, more: Mapping[str, str] | None = None) -> tuple[int, str]:
    """Runs a start that should not succeed: its exit code and what it said."""
    done = subprocess.run(
        [*command(), "up", "--data", str(folder), *options],
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        cwd="/",
        env=environment(more),
    )
    return done.returncode, done.stdout + done.stderr
