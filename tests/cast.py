"""The small cast every test shares: an owner, a picker with two phones, a viewer, and a stranger with a farm of their own.

`cast.owner.phone.get("/api/farm")` is a signed-in request; `Browser()` is somebody who has not signed in.
"""

import functools
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any
from uuid import UUID, uuid4

import pytest
from django.conf import settings
from django.contrib.auth.hashers import Argon2PasswordHasher, make_password
from django.contrib.sessions.backends.db import SessionStore
from django.test import Client, RequestFactory
from django.utils import timezone

from harvestlog.accounts.access import Member
from harvestlog.accounts.models import Farm, Membership, Person, Phone
from harvestlog.accounts.sitting import sit_down

if TYPE_CHECKING:
    from django.test.client import _MonkeyPatchedWSGIResponse

    Answer = _MonkeyPatchedWSGIResponse

PASSWORD = "four-ladders-and-a-lamp"
HOME, ELSEWHERE = "192.0.2.10", "198.51.100.7"  # RFC 5737: addresses that belong to nobody

Json = dict[str, Any]
# As it is in service, before `_quick_passwords` makes it cheap.
ARGON2 = {name: getattr(Argon2PasswordHasher, name) for name in ("time_cost", "memory_cost", "parallelism")}


class Browser:
    """One browser as the server meets it: it keeps cookies, echoes the CSRF token and speaks JSON."""

    def __init__(self, address: str = HOME) -> None:
        self.client = Client(enforce_csrf_checks=True, REMOTE_ADDR=address)

    def token(self) -> str:
        if "csrftoken" not in self.client.cookies:
            self.get("/api/session")
        return self.client.cookies["csrftoken"].value

    def get(self, path: str, query: Json | None = None) -> "Answer":
        return self.client.get(path, query)

    def post(self, path: str, body: Json | None = None) -> "Answer":
        return self.send("POST", path, body)

    def patch(self, path: str, body: Json | None = None) -> "Answer":
        return self.send("PATCH", path, body)

    def put(self, path: str, body: bytes, content_type: str) -> "Answer":
        return self.client.generic("PUT", path, body, content_type, headers={"X-CSRFToken": self.token()})

    def delete(self, path: str) -> "Answer":
        return self.send("DELETE", path, None)

    def send(self, method: str, path: str, body: Any) -> "Answer":
        text = "" if body is None else json.dumps(body)
        kind = "application/json" if body is not None else ""
        return self.client.generic(method, path, text, kind, headers={"X-CSRFToken": self.token()})


@functools.cache
def password_hash() -> str:
    return make_password(PASSWORD)


@dataclass
class Actor:
    """Somebody with one phone. `phone` signs in when it is first used, without the cost of a password."""

    person: Person
    farm: Farm
    role: str
    device: UUID = field(default_factory=uuid4)

    @functools.cached_property
    def phone(self) -> Browser:
        browser = Browser()
        request = RequestFactory().get("/")
        request.session = SessionStore()
        sit_down(
            request,
            person=self.person,
            farm=self.farm,
            device=self.device,
            name=f"{self.person.name}'s phone",
        )
        request.session.save()
        browser.client.cookies[settings.SESSION_COOKIE_NAME] = request.session.session_key or ""
        return browser

    @property
    def member(self) -> Member:
        """For tests below HTTP: what the server knows of this phone once it is signed in."""
        _ = self.phone
        row = Phone.objects.get(farm=self.farm, person=self.person, device=self.device)
        return Member(self.person, self.farm.id, self.role, self.device, row.id)

    @property
    def sign_in(self) -> Json:
        return {
            "email": self.person.email,
            "password": PASSWORD,
            "device": str(self.device),
            "device_name": "Phone",
        }


@dataclass
class Cast:
    farm: Farm
    owner: Actor
    picker: Actor
    pickers_second: Actor
    viewer: Actor
    stranger: Actor


def new_person(name: str) -> Person:
    return Person.objects.create(name=name, email=f"{name.lower()}@example.org", password=password_hash())


def new_actor(name: str, farm: Farm, role: str) -> Actor:
    person = new_person(name)
    Membership.objects.create(farm=farm, person=person, role=role)
    return Actor(person, farm, role)


@pytest.fixture(scope="session", autouse=True)
def _quick_passwords() -> Iterator[None]:
    """Argon2 at its cheapest: a real hash takes 100 MB and most of a second of a small machine."""
    with pytest.MonkeyPatch.context() as patch:
        for name, value in {"time_cost": 1, "memory_cost": 8, "parallelism": 1}.items():
            patch.setattr(Argon2PasswordHasher, name, value)
        yield


@pytest.fixture
def cast(db: None) -> Cast:
    farm = Farm.objects.create(name="Alder Yard", currency="EUR")
    other = Farm.objects.create(name="Birch Cellar", currency="GBP")
    picker = new_actor("Pia", farm, "picker")
    return Cast(
        farm=farm,
        owner=new_actor("Olga", farm, "owner"),
        picker=picker,
        pickers_second=Actor(picker.person, farm, "picker"),
        viewer=new_actor("Vito", farm, "viewer"),
        stranger=new_actor("Stella", other, "owner"),
    )


@pytest.fixture
def visitor(db: None) -> Browser:
    """Somebody who has not signed in."""
    return Browser()


@dataclass
class Clock:
    moment: datetime

    def forward(self, step: timedelta) -> None:
        self.moment += step


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """The server's time, standing still until it is moved."""
    held = Clock(timezone.now())
    monkeypatch.setattr(timezone, "now", lambda: held.moment)
    return held
