"""Taking all records home: who may, what is inside, what is noted, what it costs."""

import tracemalloc
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest

from harvestlog.accounts.models import Deed, Farm, Membership
from harvestlog.accounts.refusals import Refused
from harvestlog.harvests.models import Pick
from harvestlog.reports.exports import actions as exports
from harvestlog.reports.exports.record_tables import kinds
from tests.cast import Cast, Clock
from tests.reports.packages import exported, in_json, unzipped
from tests.reports.yard import Yard, a_bit_of_everything


@pytest.fixture
def yard(cast: Cast) -> Yard:
    return Yard(cast.owner)


def test_what_was_deleted_is_not_exported(cast: Cast, yard: Yard) -> None:
    gone = yard.supplier("Gone")
    yard.supplier("Kept")
    yard.delete("supplier", gone)
    yard.sent()
    assert [row["name"] for row in in_json(cast.owner)["supplier"]] == ["Kept"]


def test_nothing_of_another_farm_is_inside(cast: Cast, yard: Yard) -> None:
    theirs = Yard(cast.stranger)
    theirs.finished(theirs.delivery(theirs.supplier("CANARY"), lot="CANARY"), theirs.variety("CANARY"), 9)
    theirs.sent()
    a_bit_of_everything(yard)
    descriptor, files = unzipped(cast.owner)
    assert "CANARY" not in str(descriptor) + str(files)
    assert b"CANARY" not in exported(cast.owner, "json")


@pytest.mark.parametrize("form", ["zip", "json"])
def test_only_an_owner_takes_the_records_home(cast: Cast, visitor: Any, form: str) -> None:
    path = f"/api/reports/records.{form}"
    asked = [visitor, cast.picker.phone, cast.viewer.phone]
    assert [each.get(path).status_code for each in asked] == [401, 403, 403]
    assert not Deed.objects.filter(verb="records_exported").exists()


def test_an_owner_who_has_just_become_a_viewer_gets_nothing(cast: Cast) -> None:
    member = cast.owner.member
    Membership.objects.filter(person=cast.owner.person).update(role="viewer")
    with pytest.raises(Refused):
        exports.export_records(by=member, form="zip")


@pytest.mark.parametrize("form", ["zip", "json"])
def test_an_export_is_noted(cast: Cast, form: str) -> None:
    exported(cast.owner, form)
    deed = Deed.objects.get(verb="records_exported")
    assert (deed.farm, deed.by, deed.about, deed.detail) == (
        cast.farm,
        cast.owner.person,
        str(cast.farm.id),
        {"form": form},
    )


def test_an_export_that_fails_is_not_noted(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> None:
        raise OSError("no space")

    monkeypatch.setitem(exports.WRITE, "zip", fails)
    with pytest.raises(OSError, match="no space"):
        exports.export_records(by=cast.owner.member, form="zip")
    assert not Deed.objects.filter(verb="records_exported").exists()


def test_the_file_is_offered_under_a_name_and_kept_by_no_cache(cast: Cast, clock: Clock) -> None:
    clock.moment = datetime(2026, 5, 3, 12, tzinfo=UTC)
    answer = cast.owner.phone.get("/api/reports/records.zip")
    assert answer["Content-Disposition"] == 'attachment; filename="harvestlog-records-2026-05-03.zip"'
    assert (answer["Content-Type"], answer["Cache-Control"]) == ("application/zip", "no-store")


def test_the_same_records_at_the_same_moment_give_the_same_bytes(
    cast: Cast, yard: Yard, clock: Clock
) -> None:
    a_bit_of_everything(yard)
    assert exported(cast.owner, "zip") == exported(cast.owner, "zip")


def many_picks(farm: Farm, n: int) -> None:
    began = datetime(2026, 5, 3, 7, tzinfo=UTC)
    block = uuid4()
    Pick.objects.bulk_create(
        Pick(
            farm=farm,
            uuid=UUID(int=seq),
            seq=seq,
            block=block,
            flush=1,
            at=began + timedelta(minutes=seq),
            wet_g=seq / 8,
            note="n" * 200,
        )
        for seq in range(1, n + 1)
    )


@pytest.mark.parametrize("form", ["zip", "json"])
def test_ten_thousand_records_are_never_in_memory_together(cast: Cast, form: exports.Form) -> None:
    """They are 8 MB as text alone."""
    many_picks(cast.farm, 10_000)
    member = cast.owner.member
    exports.export_records(by=member, form=form).close()
    tracemalloc.start()
    try:
        with exports.export_records(by=member, form=form) as file:
            peak = tracemalloc.get_traced_memory()[1]
            assert sum(1 for _ in file) > 0
    finally:
        tracemalloc.stop()
    assert peak < 4_000_000


def test_an_export_costs_one_read_for_each_kind(cast: Cast, django_assert_max_num_queries: Any) -> None:
    many_picks(cast.farm, 2_000)
    member = cast.owner.member
    with django_assert_max_num_queries(len(kinds()) + 6):
        exports.export_records(by=member, form="zip").close()
