"""Push and pull over HTTP."""

from typing import Any
from uuid import uuid4

import pytest

from harvestlog.blocks.models import Place
from tests.cast import Actor, Browser, Cast
from tests.sync.farms import place
from tests.sync.phone import EPOCH_START


def operation(**other: Any) -> dict[str, Any]:
    return {
        "id": str(uuid4()), "verb": "add", "kind": "place", "row": str(uuid4()), "base": 0,
        "at": EPOCH_START.isoformat(), "fields": place(),
    } | other  # fmt: skip


def batch(actor: Actor, *ops: dict[str, Any], **other: Any) -> dict[str, Any]:
    epoch = actor.phone.get("/api/session").json()["epoch"]
    return {"epoch": epoch, "device": str(actor.device), "app_version": "test", "ops": list(ops)} | other


def test_what_one_phone_sends_another_fetches(cast: Cast) -> None:
    op = operation()
    sent = cast.owner.phone.post("/api/sync/push", batch(cast.owner, op)).json()
    assert sent["results"][0]["status"] == "applied"
    page = cast.viewer.phone.get("/api/sync/pull", {"epoch": sent["epoch"], "since": 0}).json()
    assert [(row["id"], row["fields"]) for row in page["rows"]] == [(op["row"], place())]
    assert (page["upto"], page["more"], page["head"]) == (1, False, 1)


def test_the_author_of_a_row_is_the_person_who_added_it(cast: Cast) -> None:
    sent = cast.owner.phone.post("/api/sync/push", batch(cast.owner, operation())).json()
    page = cast.viewer.phone.get("/api/sync/pull", {"epoch": sent["epoch"], "since": 0}).json()
    assert page["rows"][0]["author"] == str(cast.owner.person.id)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"id": "1"}, "ops.0.id"),
        ({"verb": "upsert"}, "ops.0.verb"),
        ({"base": -1}, "ops.0.base"),
        ({"base": 1.5}, "ops.0.base"),
        ({"at": "noon"}, "ops.0.at"),
        ({"fields": []}, "ops.0.fields"),
        ({"farm": str(uuid4())}, "ops.0.farm"),
    ],
)
def test_a_batch_that_is_no_batch_is_refused_with_field_and_reason(
    cast: Cast, wrong: Any, field: str
) -> None:
    answer = cast.owner.phone.post("/api/sync/push", batch(cast.owner, operation(**wrong)))
    assert answer.status_code == 422
    assert [error["field"] for error in answer.json()["errors"]] == [field]
    assert answer.json()["errors"][0]["reason"]
    assert not Place.objects.exists()


def test_more_than_a_hundred_operations_are_refused(cast: Cast) -> None:
    answer = cast.owner.phone.post("/api/sync/push", batch(cast.owner, *[operation() for _ in range(101)]))
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "ops")


def heavy(bytes_each: int, count: int) -> list[dict[str, Any]]:
    return [operation(fields=place(note="x" * bytes_each)) for _ in range(count)]


def test_a_batch_of_just_under_256_kb_is_taken(cast: Cast) -> None:
    assert cast.owner.phone.post("/api/sync/push", batch(cast.owner, *heavy(2000, 100))).status_code == 200


def test_a_batch_of_more_than_256_kb_is_refused(cast: Cast) -> None:
    answer = cast.owner.phone.post("/api/sync/push", batch(cast.owner, *heavy(300_000, 1)))
    assert (answer.status_code, answer.json()["code"]) == (413, "too_large")


@pytest.mark.parametrize(
    "query", [{"since": "-1"}, {"since": "x"}, {"limit": "0"}, {"limit": "1001"}, {"epoch": "x"}]
)
def test_a_pull_that_makes_no_sense_is_refused(cast: Cast, query: dict[str, str]) -> None:
    answer = cast.owner.phone.get("/api/sync/pull", query)
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, next(iter(query)))


@pytest.mark.parametrize(
    "path", ["/api/sync/pull", "/api/reports/suppliers", f"/api/reports/blocks/{uuid4()}"]
)
def test_nothing_is_told_to_somebody_who_is_not_signed_in(visitor: Browser, path: str) -> None:
    answer = visitor.get(path)
    assert (answer.status_code, answer.json()["code"]) == (401, "signed_out")


def test_a_strangers_pull_has_nothing_of_this_farm(cast: Cast) -> None:
    cast.owner.phone.post("/api/sync/push", batch(cast.owner, operation(fields=place("Canary shed"))))
    epoch = cast.stranger.phone.get("/api/session").json()["epoch"]
    answer = cast.stranger.phone.get("/api/sync/pull", {"epoch": epoch, "since": 0})
    assert answer.json()["rows"] == []
    assert b"Canary" not in answer.content
