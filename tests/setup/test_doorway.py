"""What a phone with a poor line, or somebody with bad intentions, can do to a server that others are using."""

import contextlib
import hashlib
import http.client
import io
import json
import re
import signal
import socket
import time
from urllib.parse import urlsplit
from uuid import uuid4

import pytest
from PIL import Image

from harvestlog.doorway import Doorway, Message, TurnedAway
from harvestlog.serving import SECONDS_TO_ASK
from tests.setup import server

PHONE = {"device": str(uuid4()), "device_name": "Phone"}
SOMEBODY = {"email": "ada@farm.example", "password": "four-ladders-and-a-lamp"}
SOON_S = 2
STALLED_S = 7  # five seconds without a byte, and some to spare


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    first = server.start(tmp_path_factory.mktemp("doorway") / "farm", server.free_port())
    yield first
    first.stop()


class Line:
    """One connection of a browser that has opened the page, with what it sends under the test's control."""

    def __init__(self, served, cookies=None):
        self.at = urlsplit(served.url)
        self.socket = socket.create_connection((self.at.hostname, self.at.port), timeout=server.PATIENCE_S)
        self.cookies = cookies or {"csrftoken": token(served)}

    def head(self, method, path, *fields):
        cookies = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        lines = (
            f"{method} {path} HTTP/1.1",
            f"Host: {self.at.netloc}",
            f"Cookie: {cookies}",
            f"X-CSRFToken: {self.cookies['csrftoken']}",
            *fields,
        )
        self.send("".join(f"{line}\r\n" for line in lines).encode() + b"\r\n")

    def send(self, sent):
        self.socket.sendall(sent)

    def answer(self):
        came = http.client.HTTPResponse(self.socket)
        came.begin()
        with came:
            body = came.read()
        return came, json.loads(body) if body else None


def token(served):
    with served._ask("GET", "/api/session") as session:
        return session.headers["Set-Cookie"].split(";")[0].split("=")[1]


def half_sent(served):
    line = Line(served)
    line.head("POST", "/api/session", "Content-Type: application/json", "Content-Length: 1000")
    line.send(b"{")
    return line


def post(line, path, body):
    sent = json.dumps(body).encode()
    line.head("POST", path, "Content-Type: application/json", f"Content-Length: {len(sent)}")
    line.send(sent)
    return line.answer()


def owner(served):
    """What makes the first farm of this server."""
    code = re.search("Set-up code for your farm: (.+)", served.greeting)
    assert code
    return PHONE | SOMEBODY | {"code": code[1], "farm": "Far Barn", "name": "Ada"}


@pytest.fixture(scope="module")
def signed_in(served):
    """A line of the farm's owner, and the epoch of the farm."""
    came, session = post(Line(served), "/api/setup", owner(served))
    assert came.status == 200, session
    cookies = [cookie.split(";")[0].split("=", 1) for cookie in came.headers.get_all("Set-Cookie")]
    return Line(served, dict(cookies)), session["epoch"]


def test_eight_bodies_that_stall_keep_nobody_else_waiting(served):
    stalled = [half_sent(served) for _ in range(8)]
    time.sleep(0.5)
    began = time.monotonic()
    assert served.fetch("/api/session")[0] == 200
    assert time.monotonic() - began < SOON_S
    for line in stalled:
        line.socket.close()


def test_a_body_that_stalls_is_given_up_after_seconds(served):
    line = half_sent(served)
    began = time.monotonic()
    came, said = line.answer()
    assert (came.status, said["code"]) == (408, "cut_off")
    assert time.monotonic() - began < STALLED_S
    assert came.headers["Content-Security-Policy"]


def test_a_connection_that_asks_nothing_is_closed(served):
    """Else a thousand of them would shut the server for as long as they like."""
    line = Line(served, {}).socket
    line.settimeout(SECONDS_TO_ASK + STALLED_S)
    assert line.recv(1) == b""


class TestWhatAllUnfinishedBodiesMayTake:
    @pytest.fixture
    def doorway(self, monkeypatch):
        monkeypatch.setattr("harvestlog.doorway.MOST_HELD", 100_000)
        monkeypatch.setattr("harvestlog.doorway.KEPT_FOR_RECORDS", 0)
        return Doorway(lambda environ, start: [], threads=1, most_bytes=90_000)

    def admitted(self, doorway, *sizes):
        """Bodies of these sizes, none of which has ended."""
        self.scopes: list[Message] = [{} for _ in sizes]
        for scope, size in zip(self.scopes, sizes, strict=True):
            doorway._admit(scope, size)

    def test_is_not_overstepped(self, doorway):
        self.admitted(doorway, 50_000, 50_000)
        with pytest.raises(TurnedAway, match="busy"):
            doorway._admit({}, 10_000)

    def test_counts_a_body_once_however_many_pieces_it_comes_in(self, doorway):
        scope: Message = {}
        for size in (30_000, 60_000, 90_000):
            doorway._admit(scope, size)

    def test_keeps_nobody_from_signing_in(self, doorway):
        self.admitted(doorway, 50_000, 50_000)
        doorway._admit({}, 500)


def test_a_body_that_breaks_off_is_not_taken_for_a_whole_one(served):
    line = half_sent(served)
    line.socket.shutdown(socket.SHUT_WR)
    came, said = line.answer()
    assert (came.status, said["code"]) == (408, "cut_off")


def test_too_large_a_body_is_refused_before_it_is_sent(served):
    line = Line(served)
    line.head("PUT", f"/api/photos/{'0' * 64}", "Content-Type: image/jpeg", "Content-Length: 5000000")
    came, said = line.answer()
    assert (came.status, said["code"]) == (413, "too_large")


def test_an_endless_body_is_refused_at_four_megabytes(served):
    line = Line(served)
    line.head("PUT", f"/api/photos/{'0' * 64}", "Content-Type: image/jpeg", "Transfer-Encoding: chunked")
    sent = 0
    with contextlib.suppress(OSError):  # the server hangs up
        for _ in range(1000):
            line.send(b"10000\r\n" + bytes(0x10000) + b"\r\n")
            sent += 0x10000
    assert sent < 20_000_000  # what lay on the way in the machine's buffers included
    assert served.fetch("/api/session")[0] == 200


def test_a_body_in_chunks_is_read_like_any_other(served):
    line = Line(served)
    body = json.dumps(PHONE | SOMEBODY | {"email": "nobody@farm.example"}).encode()
    line.head("POST", "/api/session", "Content-Type: application/json", "Transfer-Encoding: chunked")
    for part in (body[:10], body[10:]):
        line.send(f"{len(part):x}\r\n".encode() + part + b"\r\n")
        time.sleep(0.1)
    line.send(b"0\r\n\r\n")
    came, said = line.answer()
    assert (came.status, said["code"]) == (401, "wrong_sign_in")


def picture(size):
    """A JPEG of that many bytes, most of them behind its end."""
    out = io.BytesIO()
    Image.new("RGB", (640, 480), "sienna").save(out, "JPEG")
    return out.getvalue().ljust(size, b"\0")


def name_picture(line, epoch, sha256):
    fields = {
        "block": str(uuid4()), "flush": None, "pick": None, "stage": "pins", "taken": "2026-05-01T07:00:00Z",
        "sha256": sha256, "thumb_sha256": sha256, "width": 640, "height": 480, "note": "",
    }  # fmt: skip
    op = {
        "id": str(uuid4()), "verb": "add", "kind": "photo", "row": str(uuid4()), "base": 0,
        "at": "2026-05-01T07:00:00Z", "fields": fields,
    }  # fmt: skip
    batch = {"epoch": epoch, "device": PHONE["device"], "app_version": "test", "ops": [op]}
    _, said = post(line, "/api/sync/push", batch)
    assert said["results"][0]["status"] == "applied", said


def test_a_large_picture_over_a_slow_line_arrives_and_is_given_back(signed_in):
    line, epoch = signed_in
    sent = picture(2_900_000)
    sha256 = hashlib.sha256(sent).hexdigest()
    name_picture(line, epoch, sha256)
    line.head("PUT", f"/api/photos/{sha256}", "Content-Type: image/jpeg", f"Content-Length: {len(sent)}")
    step = len(sent) // 40
    for start in range(0, len(sent), step):
        line.send(sent[start : start + step])
        time.sleep(0.2)
    came, said = line.answer()
    assert (came.status, said) == (201, {"sha256": sha256})
    line.head("GET", f"/api/photos/{sha256}")
    back = http.client.HTTPResponse(line.socket)
    back.begin()
    assert Image.open(io.BytesIO(back.read())).size == (640, 480)


@pytest.fixture
def own(tmp_path):
    started = server.start(tmp_path / "farm", server.free_port())
    yield started
    if started.program.poll() is None:
        started.stop()


@pytest.mark.parametrize("sent_before", [10, None], ids=["still_arriving", "being_answered"])
def test_a_request_at_work_is_finished_before_the_server_stops(own, sent_before):
    line = Line(own)
    body = json.dumps(owner(own)).encode()
    line.head("POST", "/api/setup", "Content-Type: application/json", f"Content-Length: {len(body)}")
    line.send(body[:sent_before])
    time.sleep(0.3)
    own.program.send_signal(signal.SIGTERM)
    time.sleep(0.3)
    line.send(body[sent_before:] if sent_before else b"")
    came, session = line.answer()
    assert (came.status, session["signed_in"]) == (200, True)
    assert own.program.wait(server.PATIENCE_S) == 0
