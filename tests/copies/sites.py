"""A harvestlog of its own for a test: a data folder, on PostgreSQL also a database, and the phones of its farm over HTTP."""

import json
import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.cookiejar import CookieJar
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.error import HTTPError
from urllib.parse import urlencode, urlsplit, urlunsplit
from urllib.request import HTTPCookieProcessor, Request, build_opener
from uuid import uuid4

from PIL import Image

from tests.setup import postgres, server
from tests.sync.phone import Json, Phone

URL = os.environ.get("HARVESTLOG_DATABASE_URL", "")
PASSWORD = "four-ladders-and-a-lamp"


@dataclass
class Site:
    folder: Path
    more: dict[str, str] = field(default_factory=dict)

    def up(self) -> server.Served:
        return server.start(self.folder, server.free_port(), more=self.more)

    def run(self, *words: str, **more: str) -> subprocess.CompletedProcess[str]:
        """`harvestlog` with these words, on this data folder."""
        return subprocess.run(
            [*server.command(), *words, "--data", str(self.folder)],
            capture_output=True,
            text=True,
            stdin=subprocess.DEVNULL,
            timeout=120,
            cwd="/",
            env=server.environment(self.more | more),
        )

    @property
    def database(self) -> Path:
        return self.folder / "harvestlog.sqlite3"

    def copies(self) -> list[Path]:
        return sorted(path.parent for path in (self.folder / "copies").glob("*/manifest.json"))


@contextmanager
def new_site(folder: Path) -> Iterator[Site]:
    """On the database that the tests run on."""
    if not URL:
        yield Site(folder)
        return
    name = f"site_{uuid4().hex[:8]}"
    _order(f"CREATE DATABASE {name}")
    try:
        yield Site(folder, {"HARVESTLOG_DATABASE_URL": urlunsplit(urlsplit(URL)._replace(path=f"/{name}"))})
    finally:
        _order(f"DROP DATABASE {name} WITH (FORCE)")


def _order(query: str) -> None:
    import psycopg

    with psycopg.connect(URL, autocommit=True) as base:
        base.execute(query.encode())


def raw_copy(site: Site, to: Path) -> None:
    """What people do without reading the manual. The server must not run."""
    if URL:
        _postgres(
            "pg_dump", "--format=custom", f"--file={to}", f"--dbname={site.more['HARVESTLOG_DATABASE_URL']}"
        )
    else:
        shutil.copy(site.database, to)


def raw_swap(site: Site, copy: Path) -> None:
    """The older database in place of the newer one, with nothing else changed."""
    if URL:
        url = site.more["HARVESTLOG_DATABASE_URL"]
        name = urlsplit(url).path[1:]
        _order(f"DROP DATABASE {name} WITH (FORCE)")
        _order(f"CREATE DATABASE {name}")
        _postgres("pg_restore", f"--dbname={url}", str(copy))
    else:
        for path in site.folder.glob("harvestlog.sqlite3*"):
            path.unlink()
        shutil.copy(copy, site.database)


def _postgres(name: str, *arguments: str) -> None:
    subprocess.run([str(postgres.programs() / name), *arguments], check=True, capture_output=True)


@dataclass
class Line:
    """One browser's way to the server: it keeps cookies and echoes the CSRF token."""

    url: str
    jar: CookieJar = field(default_factory=CookieJar)

    def ask(self, method: str, path: str, body: object = None, query: Json | None = None) -> tuple[int, Any]:
        if method != "GET" and not self._token():
            self.ask("GET", "/api/session")
        headers = {"X-CSRFToken": self._token()}
        sent: bytes | None = None
        if isinstance(body, bytes):
            sent, headers["Content-Type"] = body, "image/jpeg"
        elif body is not None:
            sent, headers["Content-Type"] = json.dumps(body).encode(), "application/json"
        asked = f"{path}?{urlencode(query)}" if query else path
        request = Request(self.url.rstrip("/") + asked, sent, headers, method=method)  # noqa: S310
        try:
            with build_opener(HTTPCookieProcessor(self.jar)).open(
                request, timeout=server.PATIENCE_S
            ) as answer:
                return answer.status, _read(answer)
        except HTTPError as refusal:
            return refusal.code, _read(refusal)

    def _token(self) -> str:
        return next((cookie.value or "" for cookie in self.jar if cookie.name == "csrftoken"), "")


def _read(answer: Any) -> Any:
    bytes_ = answer.read()
    return json.loads(bytes_) if "json" in (answer.headers["Content-Type"] or "") else bytes_


class Hand(Phone):
    """A model phone that reaches a real server."""

    def __init__(self, name: str) -> None:
        self.name, self.line = name, Line("")
        super().__init__(post=self._post, get=self._get)

    @property
    def email(self) -> str:
        return f"{self.name.lower()}@example.org"

    def _post(self, path: str, body: Json) -> Json:
        return self._wanted(*self.line.ask("POST", path, body))

    def _get(self, path: str, query: Json) -> Json:
        return self._wanted(*self.line.ask("GET", path, query=query))

    def _wanted(self, status: int, said: Any) -> Json:
        assert status in (200, 201), (status, said)
        answer: Json = said
        return answer

    def _enter(self, door: str, **form: str) -> "Hand":
        form |= {"email": self.email, "password": PASSWORD}
        session = self._post(door, form | {"device": self.device, "device_name": "A phone"})
        if session["epoch"] != self.epoch:
            self.reset(session["epoch"])
        return self

    def at(self, url: str) -> "Hand":
        self.line.url = url
        return self

    def set_up(self, served: server.Served) -> "Hand":
        code = served.greeting.split("Set-up code for your farm: ")[1].split()[0]
        return self.at(served.url)._enter("/api/setup", code=code, farm="Alder Yard", name=self.name)

    def join(self, owner: "Hand", role: str) -> "Hand":
        code = owner._post("/api/farm/invitations", {"role": role})["code"]
        return self.at(owner.line.url)._enter("/api/join", code=code, name=self.name)

    def sign_in(self) -> "Hand":
        self.line.jar.clear()
        return self._enter("/api/session")

    def add_place(self, name: str) -> str:
        row = str(uuid4())
        self.change("add", "place", row, {"name": name, "note": ""})
        return row

    def add_photo(self, shade: int) -> str:
        """A photo's record, and its two pictures on the server. Returns the full picture's name."""
        from hashlib import sha256

        full, thumb = (picture(shade, side) for side in (64, 16))
        named = {"sha256": sha256(full).hexdigest(), "thumb_sha256": sha256(thumb).hexdigest()}
        fields = {
            "block": str(uuid4()),
            "stage": "pins",
            "taken": "2026-05-03T07:40:00Z",
            "width": 64,
            "height": 64,
        }
        self.change("add", "photo", str(uuid4()), fields | named)
        self.sync()
        for name, sent in zip(named.values(), (full, thumb), strict=True):
            self._wanted(*self.line.ask("PUT", f"/api/photos/{name}", sent))
        return named["sha256"]


def picture(shade: int, side: int) -> bytes:
    out = BytesIO()
    Image.new("RGB", (side, side), (shade, 90, 40)).save(out, "JPEG")
    return out.getvalue()
