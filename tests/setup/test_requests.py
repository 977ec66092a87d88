"""How the doorway hands a request on, and what it does when many large ones come at once."""

import asyncio
import json

import pytest

from harvestlog import doorway
from harvestlog.doorway import Doorway, Message, environ_of

SCOPE = {
    "type": "http", "method": "PUT", "raw_path": b"/api/a%20b%ff", "query_string": b"since=1", "http_version": "1.1",
    "scheme": "https", "server": ("192.0.2.1", "443"), "client": ("198.51.100.7", "9"), "headers": [],
}  # fmt: skip


def environ(*headers, body=b""):
    return environ_of(SCOPE | {"headers": list(headers)}, body)


def test_address_path_and_peer_are_those_of_the_request():
    handed = environ((b"host", b"barn.example"), (b"content-type", b"image/jpeg"))
    assert (handed["REQUEST_METHOD"], handed["wsgi.url_scheme"], handed["HTTP_HOST"]) == (
        "PUT", "https", "barn.example",
    )  # fmt: skip
    assert (handed["PATH_INFO"], handed["QUERY_STRING"]) == ("/api/a b\xff", "since=1")
    assert (handed["REMOTE_ADDR"], handed["CONTENT_TYPE"]) == ("198.51.100.7", "image/jpeg")


def test_the_length_is_what_came_whatever_was_stated():
    handed = environ((b"content-length", b"9"), (b"transfer-encoding", b"chunked"), body=b"abc")
    assert handed["CONTENT_LENGTH"] == "3"
    assert handed["wsgi.input"].read() == b"abc"
    assert not {"HTTP_CONTENT_LENGTH", "HTTP_TRANSFER_ENCODING"} & handed.keys()


def test_a_header_with_an_underscore_cannot_pass_for_the_proxy_s():
    handed = environ((b"x-forwarded-for", b"198.51.100.1"), (b"x_forwarded_for", b"203.0.113.9"))
    assert handed["HTTP_X_FORWARDED_FOR"] == "198.51.100.1"


class Kept:
    """A response that records that it was closed."""

    closed = False

    def __init__(self, *chunks):
        self.chunks = chunks

    def __iter__(self):
        yield from self.chunks

    def close(self):
        self.closed = True


def doorway_to(response):
    def application(environ, start):
        start("201 Created", [("Set-Cookie", "a=1")])
        return response

    return Doorway(application, threads=1, most_bytes=4_000_000)


async def ask(door, receive, headers=()):
    sent: list[Message] = []

    async def send(message):
        sent.append(message)

    await door(SCOPE | {"headers": list(headers)}, receive, send)
    return sent


async def nothing_more():
    return {"type": "http.request", "body": b"", "more_body": False}


def test_an_answer_in_parts_leaves_whole_and_is_closed():
    response = Kept(b"a", b"b")
    start, body = asyncio.run(ask(doorway_to(response), nothing_more))
    assert (start["status"], start["headers"], body["body"]) == (201, [(b"set-cookie", b"a=1")], b"ab")
    assert response.closed


@pytest.fixture
def little_room(monkeypatch):
    monkeypatch.setattr(doorway, "MOST_HELD", 1_000_000)
    monkeypatch.setattr(doorway, "KEPT_FOR_RECORDS", 300_000)
    monkeypatch.setattr(doorway, "SECONDS_BETWEEN_BYTES", 0.2)


@pytest.mark.usefixtures("little_room")
@pytest.mark.parametrize(("size", "status"), [(b"300000", 503), (b"200000", 201)])
def test_while_many_pictures_arrive_one_more_waits_and_records_pass(size, status):
    async def crowd():
        door = doorway_to([b""])
        large = [asyncio.create_task(ask(door, stall, [(b"content-length", b"300000")])) for _ in range(2)]
        await asyncio.sleep(0.05)
        start, _ = await ask(door, nothing_more, [(b"content-length", size)])
        await asyncio.gather(*large)
        later, _ = await ask(door, nothing_more, [(b"content-length", b"300000")])
        return start["status"], later["status"]

    assert asyncio.run(crowd()) == (status, 201)


async def stall():
    await asyncio.sleep(10)


def test_a_body_that_drips_for_ever_is_given_up(monkeypatch):
    monkeypatch.setattr(doorway, "SECONDS_IN_ALL", 0.3)

    async def drip():
        await asyncio.sleep(0.01)
        return {"type": "http.request", "body": b"x", "more_body": True}

    start, body = asyncio.run(ask(doorway_to([b""]), drip))
    assert (start["status"], json.loads(body["body"])["code"]) == (408, "cut_off")
