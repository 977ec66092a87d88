"""What seldom happens at the door: a full disk, somebody removed in this very moment, a throttle behind a used code."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import DatabaseError
from django.db.models import QuerySet

from tests.accounts.test_join import form as join_form
from tests.accounts.test_join import invited
from tests.accounts.test_throttle import from_elsewhere
from tests.cast import Browser, Cast, Clock


def test_a_full_disk_keeps_nobody_from_reading(
    cast: Cast, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    cast.owner.phone.get("/api/session")
    clock.forward(timedelta(hours=2))  # long enough for "last seen" to be written again

    def full(*_: object, **__: object) -> None:
        raise DatabaseError("database or disk is full")

    monkeypatch.setattr(QuerySet, "update", full)
    assert cast.owner.phone.get("/api/farm").status_code == 200


def test_who_is_removed_while_signing_in_is_signed_out(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("harvestlog.accounts.api.member_of", lambda request: None)
    assert Browser().post("/api/session", cast.picker.sign_in).status_code == 401


def test_who_is_removed_while_a_phone_is_paired_is_signed_out(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    code = cast.picker.phone.post("/api/farm/pairings").json()["code"]
    monkeypatch.setattr("harvestlog.accounts.codes_api.member_of", lambda request: None)
    answer = Browser().post("/api/pair", {"code": code, "device": str(uuid4()), "device_name": ""})
    assert (answer.status_code, answer.json()["code"]) == (401, "signed_out")


def test_a_used_invitation_is_no_way_round_the_throttle(cast: Cast) -> None:
    code = invited(cast)
    Browser().post("/api/join", join_form(code))
    from_elsewhere(cast, 10, email="noor@example.org")
    answer = Browser("203.0.113.99").post("/api/join", join_form(code))
    assert (answer.status_code, answer.json()["code"]) == (429, "slow_down")
