"""What a real phone and the server say to each other, told to a history by the line between them.

A real phone tells no history by itself. The line hears each of its requests with the session that it goes out under, and
each answer as the server gave it: who sent what is known from there, whatever the phone believes.
"""

import json
import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any
from urllib.parse import parse_qs

from tests.faults.history import History
from tests.faults.proxy import SAFE, Asked, Fate, Plan, Proxy

NO_SIGNAL = Fate(forged=b"")  # the server hears nothing, the phone gets no answer
COOKIE = re.compile(rb"sessionid=([^;\r\n]*)")
Json = dict[str, Any]


@dataclass
class Overheard:
    """`meets` is what else the line does to a request."""

    history: History
    proxy: Proxy
    phone: str
    meets: Plan = lambda asked: SAFE
    who: dict[bytes, str] = field(default_factory=dict)  # by session
    persons: dict[str, str] = field(default_factory=dict)  # id of a person -> who

    def __post_init__(self) -> None:
        self.proxy.plan = self.plan

    def plan(self, asked: Asked) -> Fate:
        fate = self.meets(asked)
        if fate.forged is not None:
            return fate
        hears = self._entering(asked) if asked.path.startswith(DOORS) else self._call(asked)
        return _told(fate, hears) if hears else fate

    def _entering(self, asked: Asked) -> Callable[[bytes], None]:
        def hears(answer: bytes) -> None:
            said = body_of(answer)
            if said.get("signed_in"):
                session = COOKIE.search(answer.partition(b"\r\n\r\n")[0]) or COOKIE.search(asked.raw)
                assert session
                self.who[session[1]] = self._comes(said, _read(asked.raw[asked.body_at :]))

        return hears

    def _comes(self, said: Json, asked: Json) -> str:
        person = said["person"]
        who = f"{person['name']} on {self.phone}"
        if person["id"] not in self.persons:
            self.persons[person["id"]] = who
            farm = said["farm"]["id"]
            self.history.note(who, "phone", farm=farm, device=asked.get("device", ""), person=person["id"])
        return who

    def _call(self, asked: Asked) -> Callable[[bytes], None] | None:
        """Written down as invoked, if it is one that the judge looks at; returns what takes its answer."""
        of, sent = _sent(asked)
        session = COOKIE.search(asked.raw)
        who = self.who.get(session[1]) if session else None
        if not of or not who:
            return None
        call = self.history.invoke(who, of, **sent)

        def hears(answer: bytes) -> None:
            said = body_of(answer)
            if not answer.startswith((b"HTTP/1.1 200", b"HTTP/1.1 201")):
                self.history.note(
                    who, "fail", call=call, status=answer[9:12].decode(), code=said.get("code", "")
                )
            elif of == "photo":
                self.history.note(who, "ok", call=call, kept=said["sha256"])
            else:
                self.history.note(who, "ok", call=call, **said)

        return hears


DOORS = ("/api/session", "/api/setup", "/api/join", "/api/pair")


def _told(fate: Fate, hears: Callable[[bytes], None]) -> Fate:
    """Heard as the server said it, before anything is done to it."""

    def rewrite(answer: bytes) -> bytes:
        hears(answer)
        return fate.rewrite(answer) if fate.rewrite else answer

    return replace(fate, rewrite=rewrite)


def _sent(asked: Asked) -> tuple[str, Json]:
    path, _, query = asked.path.partition("?")
    if asked.method == "POST" and path == "/api/sync/push":
        body = _read(asked.raw[asked.body_at :])
        return "push", {
            "ops": [{"id": op["id"], "base": op["base"]} for op in body["ops"]],
            "epoch": body["epoch"],
        }
    if asked.method == "GET" and path == "/api/sync/pull":
        words = parse_qs(query)
        return "pull", {"since": int(words["since"][0]), "epoch": words["epoch"][0]}
    if asked.method == "PUT" and path.startswith("/api/photos/"):
        return "photo", {"sha256": path.rpartition("/")[2]}
    return "", {}


def body_of(answer: bytes) -> Json:
    """Nothing where it is no JSON."""
    return _read(answer.partition(b"\r\n\r\n")[2])


def _read(text: bytes) -> Json:
    try:
        said = json.loads(text)
    except ValueError:
        return {}
    return said if isinstance(said, dict) else {}


def with_body(answer: bytes, body: Json) -> bytes:
    """The same answer that says something else."""
    head = answer.partition(b"\r\n\r\n")[0].split(b"\r\n")
    text = json.dumps(body).encode()
    kept = [line for line in head if not line.lower().startswith((b"content-length:", b"transfer-encoding:"))]
    return b"\r\n".join([*kept, b"Content-Length: " + str(len(text)).encode()]) + b"\r\n\r\n" + text
