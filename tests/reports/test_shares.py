"""Links to a report: for whoever holds one, until they run out or are taken back."""

import logging
from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
from django.db import OperationalError, connection
from django.db.models import QuerySet

from harvestlog.accounts.models import Deed
from harvestlog.reports.models import Share
from tests.cast import Cast, Clock
from tests.reports.reported import REPORTS, everybody, made, season, shared

PARTS = ("", "/report.pdf", "/report.zip")


@pytest.fixture
def report(cast: Cast) -> str:
    return str(made(cast.owner, season(cast.owner))["id"])


def gone(address: str) -> bool:
    return {everybody().get(address + part).status_code for part in PARTS} == {404}


def opened(cast: Cast) -> tuple[int, str | None]:
    (row,) = cast.owner.phone.get(REPORTS).json()
    return row["shares"][0]["opened"], row["shares"][0]["last_opened"]


def test_whoever_holds_the_link_reads_the_report(cast: Cast, report: str) -> None:
    address = shared(cast.owner, report)["address"]
    page, pdf, archive = (everybody().get(address + part) for part in PARTS)
    assert b"Three Larches" in page.content
    assert f'href="{address}/report.pdf"'.encode() in page.content
    assert pdf.content.startswith(b"%PDF-")
    assert archive.content.startswith(b"PK")


@pytest.mark.parametrize("part", PARTS)
def test_a_shared_report_sets_no_cookie_and_asks_not_to_be_found_or_kept(
    cast: Cast, report: str, part: str
) -> None:
    answer = everybody().get(shared(cast.owner, report)["address"] + part)
    assert not answer.cookies
    assert "Cookie" not in answer.headers.get("Vary", "")
    assert answer["X-Robots-Tag"].startswith("noindex")
    assert answer["Referrer-Policy"] == "no-referrer"
    assert answer["Cache-Control"] == "private, no-store"
    policy = answer["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "script" not in policy
    assert "unsafe" not in policy


def test_the_apps_own_pages_keep_their_policy(cast: Cast) -> None:
    assert "script-src 'self'" in cast.owner.phone.get(REPORTS)["Content-Security-Policy"]


def test_the_token_is_256_bits_and_only_its_hash_is_kept(cast: Cast, report: str) -> None:
    token = shared(cast.owner, report)["address"].removeprefix("/r/")
    assert len(token) == 43  # 32 bytes in base 64
    row = Share.objects.values().get()
    assert token not in str(row)
    assert len(row["token_hash"]) == 64


def test_a_link_runs_out_at_its_second(cast: Cast, clock: Clock, report: str) -> None:
    made_link = shared(cast.owner, report)
    clock.forward(timedelta(days=30) - timedelta(seconds=1))
    assert everybody().get(made_link["address"]).status_code == 200
    clock.forward(timedelta(seconds=1))
    assert gone(made_link["address"])


def test_a_link_lasts_as_many_days_as_were_asked_for(cast: Cast, clock: Clock, report: str) -> None:
    address = shared(cast.owner, report, days=2)["address"]
    clock.forward(timedelta(days=1))
    assert everybody().get(address).status_code == 200
    clock.forward(timedelta(days=1))
    assert gone(address)


@pytest.mark.parametrize("days", [0, 366, -1])
def test_a_link_for_no_day_or_more_than_a_year_is_refused(cast: Cast, report: str, days: int) -> None:
    answer = cast.owner.phone.post(f"{REPORTS}/{report}/shares", {"days": days})
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "days")


def test_a_revoked_link_is_gone_at_once_and_others_stay(cast: Cast, report: str) -> None:
    first, second = shared(cast.owner, report), shared(cast.owner, report)
    assert cast.owner.phone.delete(f"/api/reports/shares/{first['id']}").status_code == 204
    assert gone(first["address"])
    assert everybody().get(second["address"]).status_code == 200


def test_a_deleted_reports_links_are_gone(cast: Cast, report: str) -> None:
    address = shared(cast.owner, report)["address"]
    cast.owner.phone.delete(f"{REPORTS}/{report}")
    assert gone(address)


def test_wrong_expired_revoked_and_deleted_links_answer_the_same_bytes(
    cast: Cast, clock: Clock, report: str
) -> None:
    expired, revoked, deleted = (shared(cast.owner, report, days=days) for days in (1, 9, 9))
    clock.forward(timedelta(days=2))
    cast.owner.phone.delete(f"/api/reports/shares/{revoked['id']}")
    Share.objects.get(id=deleted["id"]).delete()
    addresses = [each["address"] for each in (expired, revoked, deleted)] + ["/r/wrong", "/r/" + "A" * 43]
    answers = [everybody().get(address + part) for address in addresses for part in PARTS]
    assert {answer.status_code for answer in answers} == {404}
    assert len({(answer.content, str(answer.headers)) for answer in answers}) == 1


def test_an_opening_is_counted_with_its_time(cast: Cast, clock: Clock, report: str) -> None:
    address = shared(cast.owner, report)["address"]
    assert opened(cast) == (0, None)
    everybody().get(address)
    everybody().get(address)
    times, last = opened(cast)
    assert times == 2
    assert last is not None


def test_asking_only_for_the_head_counts_no_opening(cast: Cast, report: str) -> None:
    address = shared(cast.owner, report)["address"]
    for part in PARTS:
        answer = everybody().client.head(address + part)
        assert (answer.status_code, answer.content) == (200, b"")
    everybody().get(address + "/report.pdf")
    assert opened(cast)[0] == 0


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH"])
def test_a_link_can_only_be_read(cast: Cast, report: str, method: str) -> None:
    address = shared(cast.owner, report)["address"]
    client = everybody().client
    client.handler.enforce_csrf_checks = False
    assert client.generic(method, address).status_code == 405


def test_a_full_disk_keeps_nobody_from_reading(
    cast: Cast, report: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = shared(cast.owner, report)["address"]

    def full(*_: Any, **__: Any) -> int:
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(QuerySet, "update", full)
    assert everybody().get(address).status_code == 200
    monkeypatch.undo()
    assert opened(cast)[0] == 0


def test_only_an_owner_of_this_farm_takes_a_link_back(cast: Cast, report: str) -> None:
    made_link = shared(cast.owner, report)
    path = f"/api/reports/shares/{made_link['id']}"
    assert [actor.phone.delete(path).status_code for actor in (cast.picker, cast.viewer, cast.stranger)] == [
        403,
        403,
        404,
    ]
    assert everybody().delete(path).status_code == 401
    assert everybody().get(made_link["address"]).status_code == 200


def test_sharing_and_taking_back_are_noted_once(cast: Cast, report: str) -> None:
    made_link = shared(cast.owner, report)
    for _ in range(2):  # a lost answer makes the phone ask again
        assert cast.owner.phone.delete(f"/api/reports/shares/{made_link['id']}").status_code == 204
    deeds = Deed.objects.filter(about=made_link["id"]).order_by("id")
    assert list(deeds.values_list("verb", flat=True)) == ["report_shared", "share_revoked"]
    token = made_link["address"].removeprefix("/r/")
    assert token not in str(list(Deed.objects.values()))


@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_refused_request_leaves_no_token_in_the_log(
    cast: Cast, report: str, monkeypatch: pytest.MonkeyPatch, method: str
) -> None:
    """Somebody lost a letter of a live link, or sent a form to it."""
    said = StringIO()
    for handler in logging.getLogger().handlers:
        if type(handler) is logging.StreamHandler:
            monkeypatch.setattr(handler, "stream", said)
    address = shared(cast.owner, report)["address"]
    everybody().send(method, address[:-1], None)
    everybody().send(method, address + "x/report.pdf", None)
    assert said.getvalue().count("/r/…") == 2
    assert address[:20] not in said.getvalue()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("ending", ["pdf", "html", "zip"])
def test_no_transaction_is_held_while_a_file_is_made(
    cast: Cast, report: str, monkeypatch: pytest.MonkeyPatch, ending: str
) -> None:
    held = []

    def noticing(*_: Any) -> bytes:
        held.append(connection.in_atomic_block)
        return b""

    for name in ("report_pdf", "report_page", "report_zip"):
        monkeypatch.setattr(f"harvestlog.reports.supplier_report.files.{name}", noticing)
    assert cast.owner.phone.get(f"{REPORTS}/{report}/report.{ending}").status_code == 200
    assert held == [False]
