"""Every operation × everybody who may ask: what is another farm's is not there, to the byte."""

from typing import Any

import pytest
from django.urls import URLPattern, URLResolver

from harvestlog.urls import urlpatterns
from tests.accounts.operations import Operation, every_operation
from tests.security.expected import ABSENT, EXPECTED, NOT_HERE, PUBLIC
from tests.security.words import said
from tests.security.world import (
    ACTORS,
    CANARY,
    NO_HASH,
    NO_TOKEN,
    NOTHING,
    Site,
    World,
    again,
    ask,
    content,
    taken_back,
)

OPERATIONS = every_operation()
# With the other farm's own password or code one is let in there, and rightly.
BY_CODE = {"POST /api/session", "POST /api/join", "POST /api/pair", "POST /api/password"}
TOKEN = "<str:token>"


def tried(world: World, actor: str, operation: Operation, aim: Site) -> tuple[int, bytes, Any]:
    """Status, body and headers."""
    with taken_back():
        answer = ask(again(world.actors[actor]), operation, aim)
        seen = answer.status_code, content(answer), dict(answer.headers)
    return seen


def nothing_of(site: Site) -> Site:
    """The same site with well-formed ids of nothing."""
    ids = {name: NO_HASH if name == "sha256" else NOTHING for name in site.ids}
    return Site(site.owner, ids, site.share, site.calendar, site.codes)


def test_every_operation_has_its_row_in_the_table() -> None:
    assert {str(operation) for operation in OPERATIONS} == set(EXPECTED)


def test_every_operation_but_the_ways_in_is_guarded() -> None:
    open_ones = {str(operation) for operation in OPERATIONS if not operation.guarded}
    assert open_ones == {name for name, row in EXPECTED.items() if row.nobody != 401}


def test_every_public_address_has_its_row_in_the_table() -> None:
    routes = [str(entry.pattern) for entry in urlpatterns if isinstance(entry, URLPattern)]
    assert set(routes) == PUBLIC
    assert [str(entry.pattern) for entry in urlpatterns if isinstance(entry, URLResolver)] == ["api/"]


# One test an operation, though it holds three facts: two filled farms take half a second to make.
@pytest.mark.parametrize("operation", OPERATIONS, ids=str)
def test_everybody_gets_what_the_table_says_and_nothing_of_another_farm(
    operation: Operation, world: World
) -> None:
    row = EXPECTED[str(operation)]
    answers = {actor: tried(world, actor, operation, world.own) for actor in ACTORS}
    assert {actor: status for actor, (status, _, _) in answers.items()} == {a: row.of(a) for a in ACTORS}
    if row.nobody == 401:
        refused = {answers[actor][1] for actor in ("signed out", "removed", "revoked", "link holder")}
        assert len(refused) == 1, "who is not signed in learns why"
    if row.other in {ABSENT, NOT_HERE}:
        another_farms_is_absent_to_the_byte(world, operation, row.other)
    if str(operation) not in BY_CODE:
        for aim in (world.own, world.other):
            _, body, headers = tried(world, "owner", operation, aim)
            assert CANARY not in said(body)
            assert CANARY not in str(headers)


def another_farms_is_absent_to_the_byte(world: World, operation: Operation, status: int) -> None:
    hidden = tried(world, "owner", operation, world.other)
    absent = tried(world, "owner", operation, nothing_of(world.other))
    body = hidden[1]
    for name, value in world.other.ids.items():
        body = body.replace(value.encode(), (NO_HASH if name == "sha256" else NOTHING).encode())
    assert (hidden[0], body, hidden[2]) == absent
    assert hidden[0] == status
    assert status != ABSENT or body == b'{"code": "absent", "message": "There is nothing here by that name."}'


@pytest.mark.parametrize("route", sorted(PUBLIC))
def test_a_public_address_opens_to_its_token_alone(route: str, world: World) -> None:
    token = (
        (world.own.calendar if route.startswith("c/") else world.own.share).split("/")[2].removesuffix(".ics")
    )
    right, wrong = f"/{route.replace(TOKEN, token)}", f"/{route.replace(TOKEN, NO_TOKEN)}"
    for actor in ACTORS:
        browser = again(world.actors[actor])
        assert browser.get(right).status_code == 200
        assert CANARY.encode() not in content(browser.get(right))
        assert browser.get(wrong).status_code == 404
    bodies = {content(again(world.actors[actor]).get(wrong)) for actor in ACTORS}
    assert len(bodies) == 1
    assert "set-cookie" not in str(browser.get(wrong).headers).lower()


def test_a_share_link_opens_nothing_of_the_api(world: World) -> None:
    """Its token is no session, wherever it is put."""
    token = world.own.share.removeprefix("/r/")
    browser = again(world.actors["link holder"])
    browser.client.cookies["sessionid"] = token
    assert browser.get("/api/farm").status_code == 401
    assert browser.get(f"/api/reports/supplier-reports/{token}").status_code in {401, 404}
    assert browser.client.get("/api/farm", headers={"Authorization": f"Bearer {token}"}).status_code == 401
