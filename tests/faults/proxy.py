"""A line between phones and the server that can be told, request by request, what to do to them.

It takes one request from a connection whole, asks `plan` what becomes of it, does that and closes the connection, as weak
lines do. Nothing is ever answered by the line itself, except where a plan says so (a hotel's sign-in page).
"""

import contextlib
import socket
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

PATIENCE_S = 60
CHUNK = 16 * 1024


@dataclass(frozen=True)
class Asked:
    """A request as it came in. `number` counts from 0."""

    number: int
    method: str
    path: str
    raw: bytes

    @property
    def body_at(self) -> int:
        return self.raw.index(b"\r\n\r\n") + 4


@dataclass(frozen=True)
class Fate:
    """What the line does to one request. All of it at once is possible."""

    copies: int = 1  # how many times it reaches the server; the last answer goes back
    at_once: bool = False  # the copies on connections of their own, at the same time
    cut_at: int | None = None  # only so many bytes reach the server, then the line breaks
    stall_s: float = 0  # ... or goes silent for that long before it breaks
    answer_lost: bool = False
    delay_s: float = 0  # before it reaches the server, and again before its answer leaves
    bytes_a_second: int = 0  # 0: as fast as it goes
    forged: bytes | None = None  # this answer instead, and the server hears nothing
    rewrite: Callable[[bytes], bytes] | None = None  # what goes back is this of the answer
    instead: bytes | None = None  # this reaches the server in the request's place


SAFE = Fate()
Plan = Callable[[Asked], Fate]


@dataclass
class Proxy:
    """Listens on a port of 127.0.0.1 until `close`. `port_of_server` may change while it runs."""

    port_of_server: int
    plan: Plan = lambda asked: SAFE
    seen: list[Asked] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._lock = threading.Lock()
        self._listening = socket.create_server(("127.0.0.1", 0))
        threading.Thread(target=self._listen, daemon=True).start()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self._listening.getsockname()[1]}/"

    def close(self) -> None:
        self._listening.close()

    def _listen(self) -> None:
        while True:
            try:
                phone, _ = self._listening.accept()
            except OSError:
                return
            threading.Thread(target=self._serve, args=(phone,), daemon=True).start()

    def _serve(self, phone: socket.socket) -> None:
        phone.settimeout(PATIENCE_S)
        with contextlib.suppress(OSError, ValueError), phone:
            raw = _request(phone)
            if not raw:
                return
            with self._lock:
                method, path = raw.split(b" ", 2)[:2]
                asked = Asked(len(self.seen), method.decode(), path.decode(), raw)
                self.seen.append(asked)
            fate = self.plan(asked)
            answer = self._carry(asked, fate)
            if not fate.answer_lost:
                time.sleep(fate.delay_s)
                _send(phone, fate.rewrite(answer) if fate.rewrite else answer, fate.bytes_a_second)

    def _carry(self, asked: Asked, fate: Fate) -> bytes:
        if fate.forged is not None:
            return fate.forged
        time.sleep(fate.delay_s)
        sent = asked.raw if fate.instead is None else fate.instead
        answers: list[bytes] = []

        def deliver() -> None:
            with contextlib.suppress(OSError):
                answers.append(self._deliver(sent[: fate.cut_at], fate, whole=fate.cut_at is None))

        if fate.at_once:
            couriers = [threading.Thread(target=deliver) for _ in range(fate.copies)]
            for courier in couriers:
                courier.start()
            for courier in couriers:
                courier.join()
        else:
            for _ in range(fate.copies):
                deliver()
        return answers[-1] if answers else b""

    def _deliver(self, sent: bytes, fate: Fate, *, whole: bool) -> bytes:
        with socket.create_connection(("127.0.0.1", self.port_of_server), PATIENCE_S) as server:
            _send(server, sent, fate.bytes_a_second)
            if not whole:
                time.sleep(fate.stall_s)
                return b""
            answer = bytearray()
            while part := server.recv(CHUNK):
                answer += part
            return bytes(answer)


def _request(phone: socket.socket) -> bytes:
    """One request, its connection to be closed after it; empty when the phone hung up."""
    raw = bytearray()
    while b"\r\n\r\n" not in raw:
        part = phone.recv(CHUNK)
        if not part:
            return b""
        raw += part
    head, _, body = bytes(raw).partition(b"\r\n\r\n")
    lines = [
        line for line in head.split(b"\r\n") if not line.lower().startswith((b"connection:", b"keep-alive:"))
    ]
    length = next((int(line[15:]) for line in lines if line.lower().startswith(b"content-length:")), 0)
    while len(body) < length:
        part = phone.recv(CHUNK)
        if not part:
            return b""
        body += part
    return b"\r\n".join([*lines, b"Connection: close"]) + b"\r\n\r\n" + body


def _send(to: socket.socket, raw: bytes, bytes_a_second: int) -> None:
    if not bytes_a_second:
        to.sendall(raw)
        return
    step = max(1, bytes_a_second // 20)
    for start in range(0, len(raw), step):
        to.sendall(raw[start : start + step])
        time.sleep(1 / 20)
