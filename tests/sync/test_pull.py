"""A phone that has pulled to the head has exactly what the server has."""

from typing import Any
from uuid import uuid4

import pytest

from harvestlog.accounts.models import Farm
from harvestlog.sync.kinds import KINDS
from tests.sync.farms import new_farm, new_member, phone_of, place
from tests.sync.phone import Phone

pytestmark = pytest.mark.django_db


def add_places(phone: Phone, count: int) -> list[str]:
    rows = [str(uuid4()) for _ in range(count)]
    for row in rows:
        phone.change("add", "place", row, place(f"Shelf {row[:4]}"))
    phone.push()
    return rows


def test_rows_come_in_the_order_they_were_written(phone: Phone, second: Phone) -> None:
    rows = add_places(phone, 5)
    second.pull()
    assert list(second.confirmed) == rows


@pytest.mark.parametrize("limit", [1, 2, 3, 7])
def test_pages_of_any_size_add_up_to_the_whole(phone: Phone, second: Phone, limit: int) -> None:
    rows = add_places(phone, 7)
    second.pull(limit=limit)
    assert set(second.confirmed) == set(rows)
    assert second.checkpoint == 7


def test_a_row_that_moves_while_a_phone_is_paging_is_not_missed(phone: Phone, second: Phone) -> None:
    rows = add_places(phone, 4)
    second.pull(limit=2, pages=1)
    phone.change("patch", "place", rows[0], {"note": "damp"})
    phone.change("patch", "place", rows[3], {"note": "dry"})
    phone.push()
    second.pull(limit=2)
    assert [second.confirmed[row]["fields"]["note"] for row in rows] == ["damp", "", "", "dry"]


def test_the_cursor_reaches_the_head_although_changed_rows_left_gaps(phone: Phone, second: Phone) -> None:
    rows = add_places(phone, 3)
    phone.change("delete", "place", rows[2])
    phone.change("patch", "place", rows[0], {"name": " "})  # refused: takes no number
    phone.push()
    second.pull()
    assert second.cursor == second.checkpoint == 4


def test_a_deleted_record_is_told_as_deleted(phone: Phone, second: Phone) -> None:
    rows = add_places(phone, 1)
    second.pull()
    phone.change("delete", "place", rows[0])
    phone.push()
    second.pull()
    assert second.confirmed[rows[0]]["deleted"]


@pytest.mark.parametrize("lie", [{"epoch": ""}, {"epoch": str(uuid4())}])
def test_a_cursor_of_another_history_is_told_to_start_again(
    phone: Phone, farm: Farm, lie: dict[str, Any]
) -> None:
    add_places(phone, 2)
    page = phone.get("/api/sync/pull", {"epoch": phone.epoch, "since": 1, "limit": 10} | lie)
    assert (page["reset"], page["rows"], page["epoch"]) == (True, [], str(farm.epoch))


def test_another_farms_rows_are_not_there(phone: Phone) -> None:
    add_places(phone, 3)
    stranger = phone_of(new_member(new_farm("Elsewhere")))
    add_places(stranger, 1)
    stranger.pull()
    assert len(stranger.confirmed) == 1


def test_another_farms_row_cannot_be_changed_by_its_id(phone: Phone, farm: Farm) -> None:
    row = add_places(phone, 1)[0]
    stranger = phone_of(new_member(new_farm("Elsewhere")))
    for verb in ("patch", "delete", "restore"):
        stranger.change(verb, "place", row, {"name": "Mine"} if verb == "patch" else None)
        assert stranger.push()[0]["code"] == "row_unknown"  # as for an id that nobody ever used
        stranger.outbox.clear()
    phone.pull()
    assert phone.confirmed[row]["fields"]["name"] == f"Shelf {row[:4]}"


def test_a_page_costs_the_same_number_of_reads_however_long_it_is(
    phone: Phone, django_assert_num_queries: Any
) -> None:
    add_places(phone, 60)
    with django_assert_num_queries(2 + len(KINDS)):  # the farm, its kinds, the chain at its head
        phone.get("/api/sync/pull", {"epoch": phone.epoch, "since": 0, "limit": 100})
