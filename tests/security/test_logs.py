"""What is said aloud: no log line, no deed and no row of the database holds a password, code, token or session key."""

import logging
from uuid import uuid4

import pytest
from django.apps import apps

from harvestlog.accounts.actions import console_setup_code
from harvestlog.accounts.models import Deed
from harvestlog.accounts.passwords import console_password_code
from harvestlog.security import LogLine
from tests.accounts.test_join import form as join_form
from tests.cast import PASSWORD, Browser, Cast
from tests.reports.reported import made, season, shared

WRONG, NEW, NEWER = "a-wrong-guess-of-mine", "five-lanterns-in-a-cellar", "six-lanterns-in-a-cellar"


def secrets_used(cast: Cast) -> list[str]:
    """Goes through every door and every act with a secret in it, rightly and wrongly; the secrets."""
    owner, device = cast.owner.phone, {"device": str(uuid4()), "device_name": "Phone"}
    setup = console_setup_code() or "AAAA-AAAA-AAAA"
    for password in (WRONG, PASSWORD):
        Browser().post("/api/session", cast.picker.sign_in | {"password": password})
        owner.post("/api/session/confirm", {"password": password})
    Browser().post("/api/setup", join_form(setup, farm="F", password=NEW))
    invitation = owner.post("/api/farm/invitations", {"role": "viewer"}).json()["code"]
    newcomer = Browser()
    newcomer.post("/api/join", join_form(invitation, password=NEW))
    newcomer.post("/api/session/password", {"password": NEW, "new": NEWER})
    pairing = owner.post("/api/farm/pairings").json()["code"]
    Browser().post("/api/pair", {"code": pairing, **device})
    code = owner.post(f"/api/farm/people/{cast.viewer.person.id}/password-code").json()["code"]
    Browser().post("/api/password", {"code": code, "password": WRONG[:5]})
    Browser().post("/api/password", {"code": code, "password": NEWER})
    console = console_password_code("vito@example.org") or ""
    share = shared(cast.owner, made(cast.owner, season(cast.owner))["id"])["address"]
    calendar = owner.post("/api/reports/calendar", {}).json()["address"]
    for address in (share, calendar, f"{share}x", f"{share}/report.pdf", calendar[:-5]):
        Browser().get(address)
    keys = [browser.client.cookies["sessionid"].value for browser in (owner, newcomer)]
    tokens = [share.removeprefix("/r/"), calendar.removeprefix("/c/").removesuffix(".ics")]
    return [PASSWORD, WRONG, NEW, NEWER, invitation, pairing, code, console, setup, *keys, *tokens]


def test_no_log_line_holds_a_secret(
    cast: Cast, caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]
) -> None:
    with caplog.at_level(logging.INFO):
        used = secrets_used(cast)
    out, err = capfd.readouterr()
    said = "\n".join([caplog.text, out, err])
    assert [line for line in said.splitlines() for secret in used if secret in line] == []
    assert "/api/session" in said, "nothing was listened to"


def test_no_deed_holds_a_secret(cast: Cast) -> None:
    used = secrets_used(cast)
    written = str([vars(deed) for deed in Deed.objects.all()])
    assert [secret for secret in used if secret in written] == []
    assert Deed.objects.count() > 10


def test_no_row_of_the_database_holds_a_secret_but_the_sessions_own_table(cast: Cast) -> None:
    used = secrets_used(cast)
    models = [model for model in apps.get_models() if model._meta.label != "sessions.Session"]
    written = str([vars(row) for model in models for row in model._default_manager.all()])
    assert [secret for secret in used if secret in written] == []
    assert len(written) > 10_000


def test_a_refused_sign_in_is_logged_with_its_address_and_without_what_was_typed(
    cast: Cast, caplog: pytest.LogCaptureFixture
) -> None:
    Browser("192.0.2.77").post(
        "/api/session", cast.owner.sign_in | {"email": "my-password@", "password": WRONG}
    )
    assert "a sign-in from 192.0.2.77 was refused" in caplog.text
    assert "my-password" not in caplog.text


def test_a_line_of_the_log_says_when_in_utc_how_grave_and_what() -> None:
    said = logging.LogRecord("harvestlog.accounts", logging.WARNING, "", 0, "a sign-in was refused", (), None)
    said.created = 1_770_000_000.0
    assert LogLine().format(said) == "2026-02-02T02:40:00Z WARNING harvestlog.accounts: a sign-in was refused"
    (console,) = [each for each in logging.getLogger().handlers if type(each) is logging.StreamHandler]
    assert isinstance(console.formatter, LogLine)


def test_a_line_of_the_log_cannot_be_forged(cast: Cast, caplog: pytest.LogCaptureFixture) -> None:
    Browser().client.get("/api/farm%0aWARNING everything is fine")
    assert not any(record.getMessage().count("\n") for record in caplog.records)
