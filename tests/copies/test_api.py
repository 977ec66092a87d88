"""GET and POST /api/farm/copies: what an owner sees of the server's copies."""

import os
import threading
import time
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest

from harvestlog.accounts.models import Deed
from harvestlog.copies import daily, places
from harvestlog.copies.make import make
from harvestlog.sync.kinds import KINDS
from tests.cast import Browser, Cast
from tests.sync.farms import phone_of, place

PATH = "/api/farm/copies"
pytestmark = pytest.mark.django_db(transaction=True)  # a copy reads the database by a connection of its own


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setitem(os.environ, "HARVESTLOG_COPIES", str(tmp_path / "copies"))
    monkeypatch.setattr(daily, "desk", daily.Desk())
    (tmp_path / "copies").mkdir()
    return tmp_path / "copies"


def fill(cast: Cast) -> None:
    """Three records of the farm, one of them deleted; one of the stranger's."""
    hand = phone_of(cast.owner.member)
    rows = [str(number) * 8 + "-0000-4000-8000-000000000000" for number in range(1, 4)]
    for row in rows:
        hand.change("add", "place", row, place())
    hand.change("delete", "place", rows[0])
    hand.push()
    other = phone_of(cast.stranger.member)
    other.change("add", "place", rows[0], place())
    other.push()
    assert "place" in KINDS


@pytest.mark.usefixtures("folder")
def test_before_the_first_copy_there_is_none_to_tell_of(cast: Cast) -> None:
    assert cast.owner.phone.get(PATH).json() == {
        "automatic": True, "same_disk": True, "last": None, "kept": 0, "running": False, "trouble": None,
    }  # fmt: skip


def test_the_owner_sees_when_it_was_made_and_verified_and_counts_of_the_own_farm(
    cast: Cast, folder: Path
) -> None:
    fill(cast)
    copy, said = make(why=places.DAILY, to=folder)
    told = cast.owner.phone.get(PATH).json()
    assert (told["kept"], told["last"]["records"], told["last"]["pictures_lost"]) == (1, 2, 0)
    assert told["last"]["bytes"] == sum(
        path.stat().st_size for path in copy.rglob("*") if path.is_file() and path.name != "manifest.json"
    )
    assert told["last"]["verified"] >= told["last"]["made"]
    assert said.records == 3
    assert cast.stranger.phone.get(PATH).json()["last"]["records"] == 1


def test_where_copies_lie_is_told_to_nobody(cast: Cast, folder: Path) -> None:
    make(why=places.DAILY, to=folder)
    assert str(folder) not in cast.owner.phone.get(PATH).content.decode()


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize("method", ["get", "post"])
def test_only_an_owner_sees_and_makes_copies(cast: Cast, method: str) -> None:
    for actor in (cast.picker, cast.viewer):
        assert getattr(actor.phone, method)(PATH).status_code == 403


def test_an_owner_can_have_one_made_now(cast: Cast, folder: Path) -> None:
    answer = cast.owner.phone.post(PATH)
    assert answer.status_code == 202
    deadline = time.monotonic() + 20
    while cast.owner.phone.get(PATH).json()["running"] and time.monotonic() < deadline:
        time.sleep(0.05)
    told = cast.owner.phone.get(PATH).json()
    assert (told["trouble"], told["kept"]) == (None, 1)
    assert [copy.name.rpartition("_")[2] for copy in places.copies_in(folder)] == [places.BY_HAND]
    deed = Deed.objects.get(verb="copy_begun")
    assert (deed.farm_id, deed.by_id) == (cast.farm.id, cast.owner.person.id)


@pytest.mark.usefixtures("folder")
def test_while_one_is_being_made_another_is_refused(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    done = threading.Event()
    monkeypatch.setattr(daily, "make", lambda **_: done.wait(20))
    assert cast.owner.phone.post(PATH).json()["running"]
    again = cast.owner.phone.post(PATH)
    done.set()
    assert (again.status_code, again.json()["code"]) == (409, "copy_running")
    assert Deed.objects.filter(verb="copy_begun").count() == 1


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_visitor_of_a_demo_farm_neither_sees_nor_makes_copies_of_the_server(
    cast: Cast, visitor: Browser, folder: Path, settings: Any, method: str
) -> None:
    settings.HARVESTLOG_DEMO, settings.DEMO_MAKER = "always", "tests.accounts.test_demo.bare_demo"
    assert visitor.post("/api/demo", {"device": str(uuid4()), "device_name": "Tablet"}).status_code == 200
    answer = getattr(visitor, method)(PATH)
    assert (answer.status_code, answer.json()["code"]) == (403, "not_allowed")
    assert "demo farm" in answer.json()["message"]
    assert list(folder.iterdir()) == []


def test_another_servers_copies_in_the_same_folder_are_not_told_of(
    cast: Cast, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(places, "own_id", lambda: UUID(int=7))
        make(why=places.DAILY, to=folder)
    told = cast.owner.phone.get(PATH).json()
    assert (told["kept"], told["last"]) == (0, None)


def test_that_copies_are_on_another_disk_is_told(
    cast: Cast, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(os.environ, "HARVESTLOG_COPIES", "/dev")
    monkeypatch.setattr("django.conf.settings.DATA", tmp_path)
    if Path("/dev").stat().st_dev == tmp_path.stat().st_dev:
        pytest.skip("/dev is no disk of its own here")
    assert not cast.owner.phone.get(PATH).json()["same_disk"]


@pytest.mark.usefixtures("cast")
def test_a_folder_that_is_not_there_is_trouble_and_is_not_made(
    cast: Cast, folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    folder.rmdir()
    daily.desk.make_now(places.DAILY)
    trouble = cast.owner.phone.get(PATH).json()["trouble"]
    assert "perhaps its disk is not connected" in trouble
    assert str(folder) not in trouble
    assert str(folder) in caplog.text
    assert not folder.exists()


def test_where_they_are_switched_off_none_is_made(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(os.environ, "HARVESTLOG_COPIES", "0")
    assert not cast.owner.phone.get(PATH).json()["automatic"]
    assert cast.owner.phone.post(PATH).json()["code"] == "copies_off"
