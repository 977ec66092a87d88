"""How much is taken at once, and what is said while the server cannot take anything."""

import errno
import json
from importlib import import_module
from typing import Any

import pytest
from django.contrib.sessions.backends.db import SessionStore
from django.db import InterfaceError, OperationalError, connection

from harvestlog.api import MOST_FAULTS, MOST_JSON_BYTES
from tests.cast import Browser, Cast
from tests.sync.farms import place
from tests.sync.test_api import batch, operation

on_sqlite = pytest.mark.skipif(connection.vendor != "sqlite", reason="a lock of SQLite")


@pytest.mark.django_db
def test_a_long_body_from_nobody_is_refused_unread(visitor: Browser) -> None:
    answer = visitor.post("/api/session", {f"{number:x}": 0 for number in range(30_000)})
    assert (answer.status_code, answer.json()["code"]) == (413, "too_large")


@pytest.mark.django_db
def test_the_longest_body_still_gets_a_short_answer(visitor: Browser) -> None:
    body = {f"{number:x}": 0 for number in range(24_000)}
    assert 0.9 * MOST_JSON_BYTES < len(json.dumps(body)) < MOST_JSON_BYTES
    answer = visitor.post("/api/session", body)
    assert answer.status_code == 422
    assert len(answer.json()["errors"]) == MOST_FAULTS
    assert len(answer.content) < 10_000


@on_sqlite
@pytest.mark.django_db(transaction=True)
def test_a_database_that_stays_locked_is_busy_and_the_next_try_succeeds(cast: Cast) -> None:
    phone, sent = cast.owner.phone, batch(cast.owner, operation())
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA busy_timeout = 100")
    other = another_connection()
    other.execute("BEGIN IMMEDIATE")
    answer = phone.post("/api/sync/push", sent)
    assert (answer.status_code, answer.json()["code"]) == (503, "busy")
    assert int(answer.headers["Retry-After"]) > 0
    other.rollback()
    other.close()
    assert phone.post("/api/sync/push", sent).json()["results"][0]["status"] == "applied"


def another_connection() -> Any:
    """A second writer on the file of the tests, by the library that Django was given."""
    library: Any = import_module("django.db.backends.sqlite3.base")
    return library.Database.connect(str(connection.settings_dict["NAME"]))


def failing(error: Exception) -> Any:
    def push(*_: Any) -> None:
        raise error

    return push


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("error", "status", "code"),
    [
        (OperationalError("database is locked"), 503, "busy"),
        (OperationalError("database or disk is full"), 507, "full"),
        (OSError(errno.ENOSPC, "No space left on device"), 507, "full"),
        (OSError(errno.EDQUOT, "Disk quota exceeded"), 507, "full"),
    ],
)
def test_what_passes_by_itself_is_said_in_a_way_that_a_phone_waits_for(
    cast: Cast, monkeypatch: pytest.MonkeyPatch, error: Exception, status: int, code: str
) -> None:
    phone, sent = cast.owner.phone, batch(cast.owner, operation(fields=place()))
    monkeypatch.setattr("harvestlog.sync.api.push", failing(error))
    answer = phone.post("/api/sync/push", sent)
    assert (answer.status_code, answer.json()["code"]) == (status, code)


@pytest.mark.django_db
@pytest.mark.parametrize("error", [OperationalError, InterfaceError])
def test_every_trouble_with_postgresql_s_connection_passes(
    cast: Cast, monkeypatch: pytest.MonkeyPatch, error: type[Exception]
) -> None:
    phone, sent = cast.owner.phone, batch(cast.owner, operation())
    monkeypatch.setattr("harvestlog.sync.api.push", failing(error("the connection is closed")))
    monkeypatch.setattr("harvestlog.api.connection.vendor", "postgresql")
    assert phone.post("/api/sync/push", sent).status_code == 503


@pytest.mark.django_db
@pytest.mark.parametrize(
    "error", [OperationalError("no such table: accounts_farm"), FileNotFoundError(2, "x")]
)
def test_what_does_not_pass_stays_a_fault(
    cast: Cast, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    cast.owner.phone.client.raise_request_exception = False
    phone, sent = cast.owner.phone, batch(cast.owner, operation())
    monkeypatch.setattr("harvestlog.sync.api.push", failing(error))
    monkeypatch.setattr("harvestlog.api.connection.vendor", "sqlite")
    answer = phone.post("/api/sync/push", sent)
    assert (answer.status_code, answer.json()["code"]) == (500, "broken")


@pytest.mark.django_db
def test_a_session_that_cannot_be_kept_because_the_database_is_busy_is_no_fault(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is saved after the view, where the API's own handlers are not asked."""
    visitor = Browser()
    visitor.token()
    visitor.client.raise_request_exception = False
    monkeypatch.setattr("harvestlog.api.connection.vendor", "sqlite")

    def locked(store: SessionStore, must_create: bool = False) -> None:
        if not must_create:  # which the view does itself
            raise OperationalError("database is locked")
        create(store, must_create)

    create = SessionStore.save
    monkeypatch.setattr(SessionStore, "save", locked)
    answer = visitor.post("/api/session", cast.owner.sign_in)
    assert (answer.status_code, answer.json()["code"]) == (503, "busy")
