"""Two farms with something of everything, and everybody who may come to the door of the first."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

import pytest
from django.conf import settings
from django.db import transaction

from harvestlog.accounts.models import Farm, Membership, Phone
from tests.accounts.operations import Operation
from tests.cast import PASSWORD, Actor, Browser, new_actor
from tests.photos.camera import snapshot
from tests.reports.reported import made, shared
from tests.security.everything import fill, hash_of

Json = dict[str, Any]
# Words of the second farm's alone: wherever one turns up in the first farm's hands, something leaked.
CANARY = "Zwartkopkanarie"
NOTHING = "0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1b"  # a well-formed id of nothing
NO_HASH, NO_TOKEN = "0" * 64, "x" * 43


@dataclass
class Site:
    """One farm and the ids of what it has. `ids`: by the name of a path's parameter, or of a kind of record."""

    owner: Actor
    ids: Json
    share: str
    calendar: str
    codes: Json = field(default_factory=dict)


def site(owner: Actor, member: Actor, words: str, picture: bytes) -> Site:
    """Fills a farm through the doors that growers use."""
    ids: Json = dict(fill(owner, words, sha256=hash_of(picture), thumb_sha256=hash_of(picture + b"t")))
    answer = owner.phone.put(f"/api/photos/{hash_of(picture)}", picture, "image/jpeg")
    assert answer.status_code in {200, 201}, answer.content
    report = made(owner, ids["supplier"], photos=[ids["photo"]])["id"]
    share = shared(owner, report)
    member.phone.token()
    code = owner.phone.post(f"/api/farm/people/{member.person.id}/password-code").json()
    pairing = owner.phone.post("/api/farm/pairings").json()
    invitation = owner.phone.post("/api/farm/invitations", {"role": "viewer"}).json()
    ids |= {
        "report": report, "share": share["id"], "person": str(member.person.id), "device": str(member.device),
        "invitation": invitation["id"], "pairing_id": pairing["id"], "sha256": hash_of(picture), "row": ids["block"],
    }  # fmt: skip
    codes = {"join": invitation["code"], "password": code["code"], "pair": pairing["code"]}
    calendar = owner.phone.post("/api/reports/calendar", {}).json()["address"]
    return Site(owner, ids, share["address"], calendar, codes)


@dataclass
class World:
    own: Site
    other: Site
    actors: dict[str, Browser]


ACTORS = ("owner", "picker", "viewer", "other farm", "signed out", "removed", "revoked", "link holder")


@pytest.fixture
def world(db: None, monkeypatch: pytest.MonkeyPatch) -> World:
    monkeypatch.setenv("HARVESTLOG_COPIES", "0")
    return _made()


def _made() -> World:
    farm, elsewhere = (Farm.objects.create(name=name, currency="EUR") for name in ("Alder Yard", CANARY))
    owner, picker, viewer = (
        new_actor(n, farm, r) for n, r in (("Olga", "owner"), ("Pia", "picker"), ("Vito", "viewer"))
    )
    stranger, sten = new_actor("Stella", elsewhere, "owner"), new_actor("Sten", elsewhere, "viewer")
    own = site(owner, Actor(picker.person, farm, "picker"), "Larches", snapshot(64, 48))
    other = site(stranger, sten, CANARY, snapshot(48, 64))
    removed, revoked = new_actor("Rita", farm, "owner"), new_actor("Rolf", farm, "owner")
    for actor in (removed, revoked, picker, viewer):
        actor.phone.token()
    Membership.objects.filter(person=removed.person).delete()
    Phone.objects.filter(person=revoked.person).update(revoked=farm.made)
    holder = Browser()
    assert holder.get(own.share).status_code == 200
    browsers = [
        owner.phone,
        picker.phone,
        viewer.phone,
        stranger.phone,
        Browser(),
        removed.phone,
        revoked.phone,
    ]
    return World(own, other, dict(zip(ACTORS, [*browsers, holder], strict=True)))


class _TakenBack(Exception):
    pass


@contextmanager
def taken_back() -> Iterator[None]:
    """Whatever is done inside has not been done."""
    with suppress(_TakenBack), transaction.atomic():
        yield
        raise _TakenBack


def again(browser: Browser) -> Browser:
    """The same phone with cookies of its own, so that signing out, say, stays without effect on the next request."""
    browser.token()
    fresh = Browser()
    for name in (settings.SESSION_COOKIE_NAME, settings.CSRF_COOKIE_NAME):
        if name in browser.client.cookies:
            fresh.client.cookies[name] = browser.client.cookies[name].value
    return fresh


def body_of(operation: Operation, aim: Site) -> Json | None:
    """A body that is right, aimed at this farm's things; None where none is taken."""
    device = {"device": str(uuid4()), "device_name": "Phone"}
    person = {"name": "Noor", "email": f"noor-{uuid4()}@example.org", "password": PASSWORD}
    bodies: dict[str, Json] = {
        "POST /api/session": aim.owner.sign_in | {"device": str(uuid4())},
        "POST /api/setup": {"code": "AAAA-AAAA-AAAA", "farm": "F", **person, **device},
        "POST /api/demo": device,
        "POST /api/join": {"code": aim.codes["join"], **person, **device},
        "POST /api/pair": {"code": aim.codes["pair"], **device},
        "POST /api/password": {"code": aim.codes["password"], "password": "five-lanterns-in-a-cellar"},
        "POST /api/session/confirm": {"password": PASSWORD},
        "POST /api/session/password": {"password": PASSWORD, "new": "five-lanterns-in-a-cellar"},
        "PATCH /api/farm": {"name": "New Yard"},
        "POST /api/farm/invitations": {"role": "viewer"},
        "PATCH /api/farm/people/{person}": {"role": "viewer"},
        "POST /api/sync/push": {
            "epoch": str(aim.owner.farm.epoch), "device": str(aim.owner.device), "app_version": "test", "ops": [],
        },
        "POST /api/reports/calendar": {},
        "POST /api/reports/jar-labels": {"jars": [aim.ids["jar"]]},
        "POST /api/reports/supplier-reports": {"id": str(uuid4()), "supplier": aim.ids["supplier"]},
        "POST /api/reports/supplier-reports/{report}/shares": {"days": 7},
    }  # fmt: skip
    return bodies.get(str(operation), {} if operation.takes_json else None)


def address_of(operation: Operation, ids: Json) -> str:
    return operation.url(**(ids | {"kind": "block", "name": "report.pdf"}))


def ask(browser: Browser, operation: Operation, aim: Site, ids: Json | None = None) -> Any:
    path = address_of(operation, aim.ids if ids is None else ids)
    if operation.method == "PUT":
        return browser.put(path, snapshot(64, 48), "image/jpeg")
    return browser.send(operation.method, path, body_of(operation, aim))


def content(answer: Any) -> bytes:
    """The whole body, of a file too."""
    return b"".join(answer.streaming_content) if answer.streaming else bytes(answer.content)
