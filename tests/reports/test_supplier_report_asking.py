"""Asking for yield reports: who may, what the same question again gets, and what is noted of it."""

from typing import Any
from uuid import uuid4

import pytest

from harvestlog.accounts.models import Deed
from harvestlog.reports.models import SupplierReport
from tests.cast import Cast
from tests.reports.reported import REPORTS, made, season, wanted
from tests.reports.yard import Yard


def test_the_same_question_again_gets_the_same_report(cast: Cast) -> None:
    asked = wanted(season(cast.owner))
    first, again = (cast.owner.phone.post(REPORTS, asked) for _ in range(2))
    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json() == again.json()
    assert Deed.objects.filter(verb="report_made").count() == 1


def test_an_id_used_for_another_question_is_refused(cast: Cast) -> None:
    asked = wanted(season(cast.owner))
    cast.owner.phone.post(REPORTS, asked)
    answer = cast.owner.phone.post(REPORTS, asked | {"since": "2026-01-01"})
    assert (answer.status_code, answer.json()["code"]) == (409, "id_reused")


def test_two_farms_may_use_one_id(cast: Cast) -> None:
    asked = wanted(season(cast.owner))
    assert cast.owner.phone.post(REPORTS, asked).status_code == 201
    theirs = asked | {"supplier": season(cast.stranger)}
    assert cast.stranger.phone.post(REPORTS, theirs).status_code == 201


@pytest.mark.parametrize("field", ["supplier", "deliveries", "photos"])
def test_another_farms_records_cannot_be_asked_for(cast: Cast, field: str) -> None:
    own, yard = season(cast.owner), Yard(cast.stranger)
    theirs = yard.supplier("Canary")
    delivery = yard.delivery(theirs)
    photo = yard.add(
        "photo", block=yard.block(delivery, yard.variety()), stage="pins", taken="2026-05-03T07:00:00Z",
        sha256="a" * 64, thumb_sha256="b" * 64, width=10, height=10,
    )  # fmt: skip
    yard.sent()
    foreign = {"supplier": theirs, "deliveries": [delivery], "photos": [photo]}
    answer = cast.owner.phone.post(REPORTS, wanted(own) | {field: foreign[field]})
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, field)


def test_only_owners_make_see_and_delete_reports(cast: Cast) -> None:
    report = made(cast.owner, season(cast.owner))["id"]
    for actor, status in ((cast.picker, 403), (cast.viewer, 403), (cast.stranger, 404)):
        for answer in (
            actor.phone.get(f"{REPORTS}/{report}"),
            actor.phone.get(f"{REPORTS}/{report}/report.pdf"),
            actor.phone.post(f"{REPORTS}/{report}/shares", {}),
            actor.phone.delete(f"{REPORTS}/{report}"),
        ):
            assert answer.status_code == status
    assert cast.picker.phone.get(REPORTS).status_code == 403
    assert cast.stranger.phone.get(REPORTS).json() == []
    assert SupplierReport.objects.count() == 1


def test_a_deleted_report_is_gone_and_noted(cast: Cast) -> None:
    report = made(cast.owner, season(cast.owner))["id"]
    assert cast.owner.phone.delete(f"{REPORTS}/{report}").status_code == 204
    assert cast.owner.phone.get(f"{REPORTS}/{report}").status_code == 404
    assert cast.owner.phone.delete(f"{REPORTS}/{report}").status_code == 404
    assert Deed.objects.filter(verb="report_deleted", about=report, by=cast.owner.person).count() == 1


def test_a_report_whose_deed_cannot_be_noted_is_not_made(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    supplier = season(cast.owner)

    def full(*_: Any, **__: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("harvestlog.reports.supplier_report.actions.note", full)
    assert cast.owner.phone.post(REPORTS, wanted(supplier)).status_code == 507
    assert not SupplierReport.objects.exists()


def test_the_list_is_newest_first_and_reads_no_snapshot(
    cast: Cast, django_assert_max_num_queries: Any
) -> None:
    supplier = season(cast.owner)
    ids = [made(cast.owner, supplier)["id"] for _ in range(3)]
    with django_assert_max_num_queries(5) as queries:
        rows = cast.owner.phone.get(REPORTS).json()
    assert [row["id"] for row in rows] == ids[::-1]
    assert not [query for query in queries.captured_queries if '"snapshot"' in query["sql"]]


def test_an_unknown_supplier_is_refused_with_what_to_do(cast: Cast) -> None:
    answer = cast.owner.phone.post(REPORTS, wanted(str(uuid4())))
    assert answer.status_code == 422
    assert "Send your records" in answer.json()["message"]
