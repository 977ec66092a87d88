"""Farms for the tests of sync, and a way in that skips HTTP but not the wire's strict shapes."""

import json
from typing import Any
from urllib.parse import parse_qsl, urlsplit
from uuid import UUID, uuid4

from django.utils import timezone

from harvestlog.accounts.access import Member
from harvestlog.accounts.models import Farm, Membership, Person, Phone
from harvestlog.sync.chain import Seen
from harvestlog.sync.forms import Push
from harvestlog.sync.pull import pull
from harvestlog.sync.push import push
from tests.sync.phone import Phone as ModelPhone

Json = dict[str, Any]
PICK_AT = "2026-05-03T07:40:00Z"


def new_farm(name: str = "Alder Yard") -> Farm:
    return Farm.objects.create(name=name)


def new_member(farm: Farm, role: str = "owner") -> Member:
    person = Person.objects.create(name=role.title(), email=f"{uuid4()}@example.org")
    Membership.objects.create(farm=farm, person=person, role=role)
    now = timezone.now()
    phone = Phone.objects.create(
        farm=farm, person=person, device=uuid4(), session_hash="signed in", signed_in=now, last_seen=now
    )
    return Member(person=person, farm_id=farm.pk, role=role, device=phone.device, phone_id=phone.pk)


def phone_of(member: Member, *, pulled: bool = True) -> ModelPhone:
    """A model phone in this member's hand, up to date unless told otherwise."""

    def post(path: str, body: Json) -> Json:
        batch = Push.model_validate_json(json.dumps(body))
        told = dict(parse_qsl(urlsplit(path).query))
        seen = Seen(int(told.get("seen", 0)), told.get("chain", ""))
        return push(member, batch, seen).model_dump(mode="json")

    def get(path: str, query: Json) -> Json:
        epoch = UUID(query["epoch"]) if query["epoch"] else None
        seen = Seen(query.get("seen", 0), query.get("chain", ""))
        return pull(member, epoch, query["since"], query["limit"], seen).model_dump(mode="json")

    phone = ModelPhone(post=post, get=get, device=str(member.device))
    if pulled:
        phone.pull()
    return phone


def pick(block: str, **other: Any) -> Json:
    """The fields of an ordinary pick."""
    return {"block": block, "flush": 1, "at": PICK_AT, "wet_g": 340.0, "typed": "340 g"} | other


def place(name: str = "North shed", **other: Any) -> Json:
    return {"name": name, "note": ""} | other
