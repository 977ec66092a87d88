"""What is looked after at every start."""

import stat
from datetime import timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest
from django.contrib.sessions.models import Session
from django.db import ProgrammingError
from django.utils import timezone

from harvestlog import first_run
from harvestlog.refusal import Refusal


def mode(file: Path) -> int:
    return stat.S_IMODE(file.stat().st_mode)


@pytest.fixture
def key(tmp_path):
    file = tmp_path / "key"
    file.write_text("given by somebody else\n")
    file.chmod(0o444)
    return file


def test_a_key_of_ours_is_narrowed(key):
    first_run.keep_key(key)
    assert mode(key) == 0o600


def test_a_key_that_belongs_to_somebody_else_is_read_and_left_alone(key, monkeypatch):
    monkeypatch.setattr("os.geteuid", lambda: key.stat().st_uid + 1)
    assert first_run.keep_key(key) == "given by somebody else"
    assert mode(key) == 0o444


@pytest.mark.django_db
def test_sessions_that_ended_are_cleared_and_others_kept(monkeypatch, settings, tmp_path):
    (tmp_path / "index.html").touch()
    settings.PWA = tmp_path
    monkeypatch.setattr(first_run, "connections", SimpleNamespace(close_all=lambda: None))
    now = timezone.now()
    for name, ends in (("old", now - timedelta(days=1)), ("new", now + timedelta(days=1))):
        Session.objects.create(session_key=name, session_data="", expire_date=ends)
    first_run.prepare()
    assert [session.session_key for session in Session.objects.all()] == ["new"]


def test_an_account_without_rights_is_told_whom_to_ask(monkeypatch, settings):
    monkeypatch.setitem(settings.DATABASES, "default", {"NAME": "farm", "USER": "ada"})
    refusal = first_run._not_usable(ProgrammingError("permission denied for schema public"))
    assert isinstance(refusal, Refusal)
    assert 'ALTER DATABASE "farm" OWNER TO "ada"' in str(refusal)


def test_a_fault_of_ours_is_not_dressed_up_as_theirs():
    fault = ProgrammingError('column "flush" does not exist')
    assert first_run._not_usable(fault) is fault
