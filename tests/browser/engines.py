"""Firefox and WebKit, both driven by the commands of the W3C's WebDriver, each over its own wire.

WebKitGTK's driver takes them over HTTP. Firefox takes them on its own socket (Marionette): it needs no driver beside it.
"""

import json
import os
import shutil
import signal
import socket
import subprocess
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import Any, TypeVar

from tests.setup.server import free_port

PATIENCE_S = 40
SIZE = {"width": 390, "height": 844}  # desktop Firefox stays a little wider
PATHS = {  # where a command stands in WebDriver's HTTP
    "Navigate": "url",
    "ExecuteScript": "execute/sync",
    "ElementClick": "element/{id}/click",
    "ElementSendKeys": "element/{id}/value",
    "SetWindowRect": "window/rect",
}
# Port 0 is any free one; the rest keeps Firefox off the network.
PREFERENCES = {"marionette.port": 0, "network.captive-portal-service.enabled": False}

T = TypeVar("T")
# tell("ElementClick", id="…") gives the answer's value. Raises Refused.
Tell = Callable[..., Any]


class Refused(Exception):
    """The browser could not do it, often since the screen was just being drawn anew."""


def lacking(engine: str) -> str:
    """Which programs are absent, and how to get them; nothing when all are there."""
    programs, packages = {
        "firefox": (["firefox-esr"], "firefox-esr"),
        "webkit": (["WebKitWebDriver", "Xvfb"], "webkit2gtk-driver xvfb"),
    }[engine]
    absent = [program for program in programs if not shutil.which(program)]
    return f"no {' and no '.join(absent)}: sudo apt-get install {packages}" if absent else ""


@contextmanager
def opened(engine: str, folder: Path) -> Iterator[Tell]:
    """A browser with an empty profile, about as large as a phone."""
    folder.mkdir()
    with ExitStack() as programs:
        tell = {"firefox": _firefox, "webkit": _webkit}[engine](folder, programs)
        tell("SetWindowRect", **SIZE)
        yield tell


def eventually(look: Callable[[], T]) -> T:
    """The first answer that is not empty. Raises Refused when none comes in time."""
    deadline = time.monotonic() + PATIENCE_S
    while True:
        try:
            if found := look():
                return found
            refusal = Refused("nothing of the kind is there")
        except (Refused, OSError) as error:
            refusal = Refused(error)
        if time.monotonic() > deadline:
            raise refusal
        time.sleep(0.1)


def _firefox(folder: Path, programs: ExitStack) -> Tell:
    lines = [f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in PREFERENCES.items()]
    (folder / "user.js").write_text("".join(lines))
    options = ("--headless", "--marionette", "--no-remote", "--profile", str(folder))
    programs.enter_context(_running("firefox-esr", *options, HOME=str(folder)))
    port = int(eventually((folder / "MarionetteActivePort").read_text))
    wire = programs.enter_context(socket.create_connection(("127.0.0.1", port), PATIENCE_S))
    answers = wire.makefile("rb")

    def hear() -> Any:
        length = b""
        while (byte := answers.read(1)) != b":":
            length += byte
        return json.loads(answers.read(int(length)))

    def tell(command: str, **what: Any) -> Any:
        told = json.dumps([0, 1, f"WebDriver:{command}", what]).encode()
        wire.sendall(b"%d:%b" % (len(told), told))
        _, _, refusal, answer = hear()
        if refusal:
            raise Refused(refusal["message"])
        return answer.get("value")

    hear()  # its greeting
    tell("NewSession")
    return tell


def _webkit(folder: Path, programs: ExitStack) -> Tell:
    screen = programs.enter_context(_running("Xvfb", "-displayfd", "1", "-nolisten", "tcp"))
    assert screen.stdout
    display = f":{int(screen.stdout.readline())}"
    port = free_port()
    seen = {"DISPLAY": display, "GDK_BACKEND": "x11", "HOME": str(folder), "NO_AT_BRIDGE": "1"}
    programs.enter_context(_running("WebKitWebDriver", f"--port={port}", **seen))
    at = f"http://127.0.0.1:{port}/session"
    session = eventually(lambda: _post(at, {"capabilities": {}}))["sessionId"]

    def tell(command: str, **what: Any) -> Any:
        return _post(f"{at}/{session}/{PATHS[command].format(**what)}", what)

    return tell


def _post(address: str, body: object) -> Any:
    asked = urllib.request.Request(address, json.dumps(body).encode(), {"Content-Type": "application/json"})  # noqa: S310
    try:
        with urllib.request.urlopen(asked, timeout=PATIENCE_S) as answer:  # noqa: S310
            return json.load(answer)["value"]
    except urllib.error.HTTPError as refusal:
        raise Refused(refusal.read().decode()) from None


@contextmanager
def _running(*command: str, **more: str) -> Iterator[subprocess.Popen[bytes]]:
    """A program that ends with all that it started."""
    quiet: dict[str, Any] = {"stdout": subprocess.PIPE, "stderr": subprocess.DEVNULL}
    program = subprocess.Popen(command, env=os.environ | more, start_new_session=True, **quiet)
    try:
        yield program
    finally:
        with suppress(ProcessLookupError):
            os.killpg(program.pid, signal.SIGKILL)
        program.communicate()
