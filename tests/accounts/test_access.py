"""Who is let in, each safeguard by itself: what one of them would let through, the others are kept from catching."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import OperationalError, connection

from harvestlog.accounts.access import may_write
from harvestlog.accounts.models import Phone
from tests.cast import Actor, Cast, Clock

MOMENT, HOUR = timedelta(microseconds=1), timedelta(hours=1)
IDLE, OLDEST, SURE = timedelta(days=45), timedelta(days=180), timedelta(minutes=10)


def now_is(actor: Actor, **fields: object) -> None:
    """Alters the server's row of a signed-in phone behind its back; its session is as fresh as before."""
    actor.phone.token()
    Phone.objects.filter(device=actor.device, person=actor.person).update(**fields)


def status(actor: Actor) -> int:
    return actor.phone.get("/api/farm").status_code


def test_a_revoked_phone_is_signed_out_even_while_its_session_lives(cast: Cast, clock: Clock) -> None:
    now_is(cast.picker, revoked=clock.moment)
    assert status(cast.picker) == 401


def test_a_session_key_that_another_phone_has_meanwhile_opens_neither(cast: Cast) -> None:
    cast.owner.phone.token()
    key = Phone.objects.get(device=cast.owner.device).session_hash
    now_is(cast.owner, session_hash="")
    now_is(cast.picker, session_hash=key)
    assert status(cast.owner) == 401


@pytest.mark.parametrize(("idle", "answer"), [(IDLE - MOMENT, 200), (IDLE, 401)])
def test_a_phone_not_seen_for_45_days_is_signed_out_even_while_its_session_lives(
    idle: timedelta, answer: int, cast: Cast, clock: Clock
) -> None:
    now_is(cast.picker, last_seen=clock.moment - idle)
    assert status(cast.picker) == answer


@pytest.mark.parametrize(("age", "answer"), [(OLDEST - MOMENT, 200), (OLDEST, 401)])
def test_a_sign_in_ends_180_days_after_it_to_the_moment(
    age: timedelta, answer: int, cast: Cast, clock: Clock
) -> None:
    now_is(cast.picker, signed_in=clock.moment - age)
    assert status(cast.picker) == answer


def test_a_phone_is_seen_again_after_one_hour_to_the_moment(cast: Cast, clock: Clock) -> None:
    now_is(cast.picker, last_seen=clock.moment - HOUR)
    status(cast.picker)
    assert Phone.objects.get(device=cast.picker.device, person=cast.picker.person).last_seen == clock.moment


@pytest.mark.parametrize(("since", "answer"), [(SURE - MOMENT, 200), (SURE, 403)])
def test_a_typed_password_counts_for_ten_minutes(
    since: timedelta, answer: int, cast: Cast, clock: Clock
) -> None:
    now_is(cast.owner, confirmed=clock.moment - since)
    assert cast.owner.phone.post("/api/farm/invitations", {"role": "viewer"}).status_code == answer


def test_being_seen_renews_the_cookie(cast: Cast, clock: Clock) -> None:
    now_is(cast.picker, last_seen=clock.moment - HOUR)
    assert "sessionid" in cast.picker.phone.get("/api/farm").cookies


@pytest.mark.django_db(transaction=True)
def test_a_disk_too_full_to_write_down_who_was_seen_lets_people_read(cast: Cast, clock: Clock) -> None:
    now_is(cast.picker, last_seen=clock.moment - HOUR)

    def full(execute: Any, sql: str, *asked: Any) -> Any:
        if sql.startswith('UPDATE "accounts_phone"'):
            raise OperationalError("database or disk is full")
        return execute(sql, *asked)

    with connection.execute_wrapper(full):
        assert status(cast.picker) == 200


@pytest.mark.parametrize(("role", "may"), [("owner", True), ("picker", True), ("viewer", False)])
def test_a_kind_is_written_by_the_roles_it_names(role: str, may: bool) -> None:
    assert may_write(role, {"owner", "picker"}) is may
