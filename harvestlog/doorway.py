"""The doorway: takes a request in whole, then has Django answer it in one of a few threads.

A thread that reads from a phone waits as long as that phone likes, so a handful of half-sent bodies would hold
every thread there is. Here waiting costs no thread: an ASGI application reads each body with a deadline, and only
then calls the WSGI application. The answer is made whole before it leaves (the largest is a picture of at most
3 MB), so somebody who reads slowly holds neither a thread nor an open file.
"""

import asyncio
import sys
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from typing import Any, NamedTuple
from urllib.parse import unquote_to_bytes

from harvestlog.security import every_header, problem

SECONDS_BETWEEN_BYTES = 5
# A picture would have to begin anew, and a phone that goes from one mast to the next is silent for a while.
SECONDS_BETWEEN_BYTES_OF_A_PICTURE = 15
SECONDS_IN_ALL = 130  # a phone gives up on a picture after 120
# What all unfinished bodies together may take; what comes on top a phone sends later. Some of it is kept for records when
# pictures have filled the rest, and a body as small as a sign-in always finds room.
MOST_HELD = 72 * 1024 * 1024
KEPT_FOR_RECORDS = 8 * 1024 * 1024
LARGE = 256 * 1024  # above this it is a picture
SMALL = 4 * 1024

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
Environ = dict[str, Any]
Wsgi = Callable[[Environ, Callable[..., Any]], Iterable[bytes]]


class Answer(NamedTuple):
    status: int
    headers: list[tuple[str, str]]
    body: bytes


class TurnedAway(Exception):
    """The request goes no further; what to answer stands in `answer`."""

    def __init__(self, status: int, code: str, message: str) -> None:
        refusal = problem(status, code, message)
        more = every_header() | {"Cache-Control": "no-store"}
        self.answer = Answer(status, [*refusal.items(), *more.items()], refusal.content)
        super().__init__(code)


class Doorway:
    """An ASGI application in front of a WSGI one.

    Bodies above `most_bytes` are refused with 413, stalled and broken ones with 408, all in the API's
    shape of a refusal. At most `threads` requests are at work at once; the others wait their turn.
    """

    def __init__(self, application: Wsgi, *, threads: int, most_bytes: int) -> None:
        self._application = application
        self._threads = ThreadPoolExecutor(threads, thread_name_prefix="request")
        self._most_bytes = most_bytes
        self._held: dict[int, int] = {}

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        try:
            body = await self._take_in(scope, receive)
            loop = asyncio.get_running_loop()
            answer = await loop.run_in_executor(
                self._threads, _answer, self._application, environ_of(scope, body)
            )
        except TurnedAway as refusal:
            answer = refusal.answer
        finally:
            self._held.pop(id(scope), None)
        headers = [(name.lower().encode(), text.encode("latin-1")) for name, text in answer.headers]
        await send({"type": "http.response.start", "status": answer.status, "headers": headers})
        await send({"type": "http.response.body", "body": answer.body})

    async def _take_in(self, scope: Message, receive: Receive) -> bytes:
        stated = dict(scope["headers"]).get(b"content-length", b"")
        if stated.isdigit():
            self._admit(scope, int(stated))
        picture = scope["raw_path"].startswith(b"/api/photos/")
        patience = SECONDS_BETWEEN_BYTES_OF_A_PICTURE if picture else SECONDS_BETWEEN_BYTES
        body = bytearray()
        try:
            async with asyncio.timeout(SECONDS_IN_ALL):
                while True:
                    async with asyncio.timeout(patience):
                        message = await receive()
                    if message["type"] != "http.request":
                        raise TurnedAway(408, "cut_off", "The request did not arrive whole. Send it again.")
                    body += message["body"]
                    self._admit(scope, len(body))
                    if not message["more_body"]:
                        return bytes(body)
        except TimeoutError:
            raise TurnedAway(408, "cut_off", "The request stopped arriving. Send it again.") from None

    def _admit(self, scope: Message, size: int) -> None:
        if size > self._most_bytes:
            raise TurnedAway(413, "too_large", "That is more than the server takes at once. Send less.")
        held = self._held.get(id(scope), 0)
        most = MOST_HELD - KEPT_FOR_RECORDS if size > LARGE else MOST_HELD
        if size > SMALL and sum(self._held.values()) - held + size > most:
            raise TurnedAway(503, "busy", "Much is arriving just now. This is taken a little later.")
        self._held[id(scope)] = max(held, size)


def environ_of(scope: Message, body: bytes) -> Environ:
    """The request as PEP 3333 describes it. Its length is what came, for a body in chunks states none."""
    server, port = scope["server"]
    environ = {
        "REQUEST_METHOD": scope["method"],
        "SCRIPT_NAME": "",
        "PATH_INFO": unquote_to_bytes(scope["raw_path"]).decode("latin-1"),
        "QUERY_STRING": scope["query_string"].decode("latin-1"),
        "SERVER_NAME": server,
        "SERVER_PORT": str(port),
        "SERVER_PROTOCOL": f"HTTP/{scope['http_version']}",
        "REMOTE_ADDR": scope["client"][0],
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": scope["scheme"],
        "wsgi.input": BytesIO(body),
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": False,
        "wsgi.run_once": False,
    }
    for raw, value in scope["headers"]:
        name = raw.decode("latin-1").upper()
        if "_" in name:
            continue  # X_Forwarded_For would arrive under the name of X-Forwarded-For, which a proxy sets
        key = name.replace("-", "_") if name == "CONTENT-TYPE" else f"HTTP_{name.replace('-', '_')}"
        text = value.decode("latin-1")
        environ[key] = f"{environ[key]},{text}" if key in environ else text
    environ.pop("HTTP_CONTENT_LENGTH", None)
    environ.pop("HTTP_TRANSFER_ENCODING", None)
    environ["CONTENT_LENGTH"] = str(len(body))
    return environ


def _answer(application: Wsgi, environ: Environ) -> Answer:
    """Runs in a thread. close() tells Django that the request is over: it gives connections and files back."""
    status, headers = "", list[tuple[str, str]]()

    def start(said: str, fields: list[tuple[str, str]], exc_info: object = None) -> None:
        nonlocal status, headers
        status, headers = said, fields

    chunks = application(environ, start)
    try:
        body = b"".join(chunks)
    finally:
        if close := getattr(chunks, "close", None):
            close()
    return Answer(int(status.split()[0]), headers, body)
