"""Thousands of requests with another farm's ids wherever an id may stand: nothing of that farm comes out.

A share in every run; all 10,000 with FAULTS=release. FAULTS_SEED=... draws them again.
"""

import json
import logging
import random
from typing import Any
from uuid import UUID

import pytest

from harvestlog.blocks.models import Supplier
from tests.accounts.operations import Operation, every_operation
from tests.faults.rows import RELEASE, SEED
from tests.reports.reported import made
from tests.security.everything import bare
from tests.security.expected import EXPECTED
from tests.security.test_tenants import BY_CODE
from tests.security.words import said
from tests.security.world import CANARY, Json, World, address_of, body_of, content

REQUESTS = 10_000 if RELEASE else 1_000
# These end a sign-in or take seconds for a password each; the matrix asks them once.
NOT_HERE = BY_CODE | {
    "DELETE /api/session", "POST /api/session/confirm", "POST /api/session/password", "POST /api/setup",
    "POST /api/demo", "DELETE /api/farm/people/{person}", "POST /api/farm/copies",
}  # fmt: skip
# Making a report or a sheet of labels typesets a PDF.
SLOW = {"GET /api/reports/supplier-reports/{report}/{name}", "POST /api/reports/jar-labels"}
NAMES = ("report.pdf", "report.html", "report.zip")


def aimed_push(world: World, draw: random.Random) -> Json:
    """Records of one's own that refer to the other farm's, or claim their ids."""
    ops = []
    for kind, row, fields in draw.sample(list(bare()), 5):
        theirs = {name: _their(world, value) for name, value in fields.items()}
        row = draw.choice([row, world.other.ids[kind]])
        verb = draw.choice(["add", "add", "patch", "delete", "restore"])
        ops.append(
            {"id": str(_uuid(draw)), "verb": verb, "kind": kind, "row": row, "base": draw.choice([0, 1, 9])}
            | {"at": "2026-05-20T08:00:00Z", "fields": theirs if verb in {"add", "patch"} else {}}
        )
    owner = world.own.owner
    return {"epoch": str(owner.farm.epoch), "device": str(owner.device), "app_version": "test", "ops": ops}


def _uuid(draw: random.Random) -> str:
    return str(UUID(int=draw.getrandbits(128), version=4))


def _their(world: World, value: Any) -> Any:
    """An id of one's own is put in the place of the other farm's of the same kind."""
    if isinstance(value, str) and len(value) == 36:
        return world.other.ids["block"]
    return value


def request(world: World, operation: Operation, draw: random.Random) -> Any:
    """One request of the first farm's owner with the second farm's ids in its path, query and body."""
    phone = world.own.owner.phone
    ids = {name: draw.choice(list(world.other.ids.values())) if draw.random() < 0.3 else value
           for name, value in world.other.ids.items()}  # fmt: skip
    path = address_of(operation, ids)
    path = path.replace("report.pdf", draw.choice(NAMES)).replace(
        "/block/", f"/{draw.choice(list(_kinds(world)))}/"
    )
    epoch = draw.choice([world.own, world.other]).owner.farm.epoch
    query = {"variety": ids["variety"], "epoch": str(epoch), "zone": "UTC"}
    if operation.method == "GET":
        return phone.get(path, query if draw.random() < 0.5 else None)
    if operation.method == "PUT":
        return phone.put(path, b"\xff\xd8\xff", "image/jpeg")
    body = body_of(operation, world.other)
    if operation.path == "/api/sync/push":
        body = aimed_push(world, draw)
    if operation.path == "/api/reports/supplier-reports" and draw.random() < 0.7:
        mine = Supplier.objects.filter(farm=world.own.owner.farm, deleted=False).first()
        theirs = {"deliveries": [ids["delivery"]], "photos": [ids["photo"]]}
        body = (body or {}) | {"supplier": str(mine.uuid) if mine else ids["supplier"]} | theirs
    return phone.send(operation.method, path, body)


def _kinds(world: World) -> list[str]:
    return [kind for kind, _, _ in bare()]


def test_nothing_of_another_farm_comes_out_whatever_ids_are_sent(
    world: World, caplog: pytest.LogCaptureFixture
) -> None:
    print(f"FAULTS_SEED={SEED}, {REQUESTS} requests")  # noqa: T201
    draw = random.Random(SEED)
    operations = [each for each in every_operation() if str(each) not in NOT_HERE]
    weights = [0.1 if str(each) in SLOW else 1 for each in operations]
    statuses: dict[int, int] = {}
    with caplog.at_level(logging.DEBUG):
        for operation in draw.choices(operations, weights, k=REQUESTS):
            answer = request(world, operation, draw)
            body = content(answer)
            statuses[answer.status_code] = statuses.get(answer.status_code, 0) + 1
            assert answer.status_code < 500, (SEED, str(operation), body)
            assert CANARY not in said(body), (SEED, str(operation))
            assert CANARY not in str(answer.headers), (SEED, str(operation))
    print(json.dumps(statuses, sort_keys=True))  # noqa: T201
    assert CANARY not in caplog.text
    assert statuses[200] > REQUESTS / 10
    assert statuses[404] > REQUESTS / 10
    what_was_theirs_is_untouched(world)


def what_was_theirs_is_untouched(world: World) -> None:
    """The other farm reads the same as before: every one of its records, its people, phones, links and report."""
    phone = world.other.owner.phone
    rows = phone.get("/api/sync/pull", {"epoch": str(world.other.owner.farm.epoch)}).json()["rows"]
    assert {row["id"] for row in rows} == {world.other.ids[kind] for kind in _kinds(world)}
    assert not any(row["deleted"] for row in rows)
    page = phone.get("/api/farm").json()
    assert (page["name"], len(page["people"]), len(page["invitations"]), len(page["pairings"])) == (
        CANARY,
        2,
        1,
        1,
    )
    report = phone.get("/api/reports/supplier-reports").json()[0]
    assert [share["revoked"] for share in report["shares"]] == [None]


def test_the_search_finds_what_it_looks_for(world: World) -> None:
    """In each form that an answer may take: JSON, a table in a zip, a PDF, a page."""
    other = world.other
    report = made(other.owner, other.ids["supplier"])["id"]
    paths = [
        f"/api/sync/pull?epoch={other.owner.farm.epoch}",
        "/api/reports/records.zip",
        "/api/reports/records.json",
        "/api/reports/suppliers",
    ]
    paths += [f"/api/reports/supplier-reports/{report}/{name}" for name in NAMES]
    for path in paths:
        assert CANARY in said(content(other.owner.phone.get(path))), path


def test_every_operation_is_asked_here_or_named_as_left_out() -> None:
    assert set(EXPECTED) >= NOT_HERE
