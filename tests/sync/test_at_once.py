"""The same batch on several connections at once: real threads, real transactions."""

import json
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from typing import Any
from uuid import uuid4

import pytest
from django.db import connections

from harvestlog.accounts.models import Farm
from harvestlog.blocks.models import Place
from harvestlog.sync.models import Change
from tests.sync.farms import new_farm, new_member, phone_of, place

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(calls: list[Callable[[], Any]]) -> list[Any]:
    """Runs the calls together, each on a connection of its own."""

    def alone(call: Callable[[], Any]) -> Any:
        try:
            return call()
        finally:
            connections.close_all()

    with ThreadPoolExecutor(len(calls)) as threads:
        return list(threads.map(alone, calls))


def test_the_same_batch_on_four_connections_has_one_effect_and_one_answer() -> None:
    farm = new_farm()
    phone = phone_of(new_member(farm))
    for _ in range(5):
        phone.change("add", "place", str(uuid4()), place())
    body = {"epoch": phone.epoch, "device": phone.device, "app_version": "", "ops": phone.outbox}
    answers = at_once([lambda: phone.post("/api/sync/push", body)["results"]] * 4)
    assert len({json.dumps(answer) for answer in answers}) == 1
    assert Place.objects.filter(farm=farm).count() == 5


def test_phones_that_push_at_once_leave_no_gap_and_no_twin_in_the_order() -> None:
    farm = new_farm()
    phones = [phone_of(new_member(farm)) for _ in range(4)]
    for phone in phones:
        for _ in range(6):
            phone.change("add", "place", str(uuid4()), place())

    def in_small_batches(phone: Any) -> None:
        while phone.push(at_most=2):
            pass

    at_once([partial(in_small_batches, phone) for phone in phones])
    assert sorted(Change.objects.filter(farm=farm).values_list("seq", flat=True)) == list(range(1, 25))
    assert Farm.objects.get(pk=farm.pk).seq == 24


def test_a_pull_among_pushes_never_skips_a_row() -> None:
    """A cursor taken while others commit may be behind, but everything below it is there."""
    farm = new_farm()
    writer, reader = phone_of(new_member(farm)), phone_of(new_member(farm))
    for _ in range(20):
        writer.change("add", "place", str(uuid4()), place())

    def write() -> None:
        while writer.push(at_most=1):
            pass

    def read() -> list[tuple[int, int]]:
        seen = []
        for _ in range(20):
            reader.pull(limit=3)
            seen.append((reader.cursor, len(reader.confirmed)))
        return seen

    _, seen = at_once([write, read])
    assert all(cursor == rows for cursor, rows in seen)
