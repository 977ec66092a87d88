"""The copy that is made by itself: when it is due, how many are kept, and once for real."""

import os
import time
from datetime import timedelta
from pathlib import Path
from unittest.mock import Mock
from uuid import UUID

import pytest
from django.conf import settings
from django.utils import timezone

from harvestlog.copies import daily, manifest, places
from harvestlog.copies.manifest import Facts, FileFacts, Manifest
from harvestlog.refusal import Refusal
from tests.cast import Clock
from tests.copies.conftest import a_farm
from tests.copies.sites import Site

LONGEST_WAIT_S = 30
OURS, OTHER = UUID(int=0), UUID(int=7)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setitem(os.environ, "HARVESTLOG_COPIES", str(tmp_path / "copies"))
    return tmp_path / "copies"


def a_copy(folder: Path, *, hours_ago: float = 0, why: str = places.DAILY, of: UUID | None = OURS) -> Path:
    """`of`: whose it says it is; None as an older release made it, which did not say."""
    made = timezone.now() - timedelta(hours=hours_ago)
    copy = folder / places.name_for(made, why)
    copy.mkdir(parents=True)
    files = {"harvestlog.sqlite3": FileFacts(sha256="0" * 64, size=1)}
    facts = Facts(migrations=[], farms={}, rows={})
    manifest.write(
        copy,
        Manifest(
            server=places.own_id() if of == OURS else of,
            format=2 if of else 1,
            app="0.1.0",
            why=why,
            made=made,
            verified=made,
            database="sqlite",
            facts=facts,
            files=files,
            lost=[],
        ),
    )
    return copy


@pytest.mark.usefixtures("cast")
@pytest.mark.parametrize(("hours_ago", "due"), [(23.9, False), (24.1, True), (-1, True)])
def test_it_is_due_a_day_after_the_last_one_or_when_that_one_lies_in_the_future(
    folder: Path, hours_ago: float, due: bool
) -> None:
    a_copy(folder, hours_ago=hours_ago)
    assert daily.is_due(timezone.now()) is due


@pytest.mark.usefixtures("cast")
def test_it_is_due_where_there_is_none_and_a_damaged_one_counts_for_none(folder: Path) -> None:
    assert daily.is_due(timezone.now())
    (a_copy(folder) / "manifest.json").write_text("{")
    assert daily.is_due(timezone.now())


@pytest.mark.usefixtures("db", "folder")
def test_before_there_is_a_farm_of_ones_own_there_is_nothing_to_copy() -> None:
    assert not daily.is_due(timezone.now())


@pytest.mark.usefixtures("cast")
def test_switched_off_it_is_never_due(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(os.environ, "HARVESTLOG_COPIES", "0")
    assert not daily.is_due(timezone.now())


def test_seven_of_each_reason_are_kept_the_newest(folder: Path, clock: Clock) -> None:
    for _ in range(9):
        newest = a_copy(folder)
        by_hand = a_copy(folder, why=places.BY_HAND)
        clock.forward(timedelta(days=1))
    places.clear(folder, why=places.DAILY, keep=places.KEEP)
    left = [copy.name for copy in places.copies_in(folder)]
    assert sum(name.endswith("_daily") for name in left) == 7
    assert sum(name.endswith("_by-hand") for name in left) == 9
    assert newest.name in left
    assert by_hand.exists()


class TestAFolderThatSeveralServersShare:
    @pytest.mark.usefixtures("cast")
    def test_another_servers_copy_does_not_stand_for_ours(self, folder: Path) -> None:
        a_copy(folder, of=OTHER)
        assert daily.is_due(timezone.now())
        assert daily.newest() is None

    def test_of_another_servers_copies_none_is_removed(self, folder: Path, clock: Clock) -> None:
        for _ in range(3):
            a_copy(folder, of=OTHER)
            clock.forward(timedelta(days=1))
            a_copy(folder)
            clock.forward(timedelta(days=1))
        places.clear(folder, why=places.DAILY, keep=1)
        assert [manifest.server_of(copy) for copy in places.copies_in(folder)] == [
            places.own_id(), OTHER, OTHER, OTHER,
        ]  # fmt: skip

    def test_one_that_does_not_say_whose_it_is_is_left_alone(self, folder: Path) -> None:
        copy = a_copy(folder, of=None)
        places.clear(folder, why=places.DAILY, keep=0)
        assert copy.exists()

    def test_one_that_does_not_say_whose_it_is_is_ours_in_our_own_folder(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(settings, "DATA", tmp_path)
        copy = a_copy(tmp_path / "copies", of=None)
        assert places.is_ours(copy)
        assert not places.is_ours(a_copy(tmp_path / "copies", of=OTHER, why=places.BY_HAND))

    def test_the_data_folder_keeps_its_name_also_when_a_power_cut_left_it_empty(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(settings, "DATA", tmp_path)
        (tmp_path / ".copies-id").touch()
        assert places.own_id() == places.own_id()


def test_whose_a_copy_is_stands_where_it_is_looked_for(folder: Path) -> None:
    copy = a_copy(folder, of=OTHER)
    assert manifest.server_of(copy) == manifest.read(copy).server == OTHER


@pytest.mark.usefixtures("cast")
def test_to_know_whether_it_is_due_the_manifest_is_read_once(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_copy(folder, hours_ago=1)
    read = Mock(wraps=manifest.read)
    monkeypatch.setattr(manifest, "read", read)
    assert [daily.is_due(timezone.now()) for _ in range(3)] == [False] * 3
    assert read.call_count == 1
    a_copy(folder)
    daily.is_due(timezone.now())
    assert read.call_count == 2


@pytest.mark.usefixtures("cast", "folder")
def test_one_that_fails_says_so_to_the_owner_and_does_not_end_the_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    desk = daily.Desk()

    def fails(**_: object) -> None:
        raise Refusal("cannot make a copy in /somewhere")

    monkeypatch.setattr(daily, "make", fails)
    desk.make_now(places.DAILY)
    assert desk.trouble is not None
    assert "/somewhere" not in desk.trouble
    assert not desk.running
    monkeypatch.setattr(daily, "make", lambda **_: None)
    desk.make_now(places.DAILY)
    assert desk.trouble is None


def test_a_server_that_holds_a_farm_and_no_copy_makes_one_by_itself(site: Site) -> None:
    a_farm(site)
    served = site.up()
    try:
        deadline = time.monotonic() + LONGEST_WAIT_S
        while not site.copies() and time.monotonic() < deadline:
            time.sleep(0.2)
    finally:
        served.stop()
    assert [copy.name.rpartition("_")[2] for copy in site.copies()] == ["daily"]
