"""Where the files of a farm go when the farm goes."""

from collections.abc import Callable
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.conf import settings
from django.core.files.base import ContentFile, File
from django.core.files.storage import default_storage
from django.db import transaction

from harvestlog.accounts.actions import console_setup_code
from harvestlog.accounts.models import Farm
from harvestlog.photos.actions import keep_own_picture
from harvestlog.photos.models import PhotoFile
from tests.accounts.test_set_up import form as set_up_form
from tests.cast import Browser, Cast
from tests.photos.camera import snapshot
from tests.photos.test_api import named, put

Commits = Callable[..., Any]


def files_of(farm: UUID) -> list[Path]:
    return [path for path in (Path(settings.PHOTOS) / str(farm)).rglob("*") if path.is_file()]


@pytest.fixture
def demo(db: None) -> UUID:
    """A demo farm with one picture."""
    farm = Farm.objects.create(name="Demo farm", is_demo=True).id
    keep_own_picture(farm=farm, sha256="0" * 64, picture=b"picture")
    assert len(files_of(farm)) == 1
    return farm


def test_the_first_farm_leaves_no_picture_of_a_demo_farm(
    demo: UUID, django_capture_on_commit_callbacks: Commits
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        Browser().post("/api/setup", set_up_form(console_setup_code()))
    assert not Farm.objects.filter(id=demo).exists()
    assert not (Path(settings.PHOTOS) / str(demo)).exists()


def test_a_file_that_no_row_vouches_for_goes_with_its_farm(
    demo: UUID, django_capture_on_commit_callbacks: Commits
) -> None:
    default_storage.save(f"{demo}/11/left-over.jpg", ContentFile(b"cut short"))
    with django_capture_on_commit_callbacks(execute=True):
        Farm.objects.filter(id=demo).delete()
    assert files_of(demo) == []


def test_another_farms_pictures_stay(
    demo: UUID, cast: Cast, django_capture_on_commit_callbacks: Commits
) -> None:
    keep_own_picture(farm=cast.farm.id, sha256="0" * 64, picture=b"picture")
    with django_capture_on_commit_callbacks(execute=True):
        Farm.objects.filter(id=demo).delete()
    assert len(files_of(cast.farm.id)) == 1


def test_pictures_stay_until_it_is_certain_that_their_farm_is_gone(
    demo: UUID, django_capture_on_commit_callbacks: Commits
) -> None:
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        Farm.objects.filter(id=demo).delete()
        transaction.set_rollback(True)
    assert len(files_of(demo)) == 1


@pytest.mark.django_db(transaction=True)
def test_a_disk_that_fails_does_not_stop_the_first_farm(demo: UUID, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(name: str) -> None:
        raise OSError(f"cannot remove {name}")

    monkeypatch.setattr(default_storage, "delete", broken)
    answer = Browser().post("/api/setup", set_up_form(console_setup_code()))
    assert answer.status_code == 200


@pytest.mark.django_db(transaction=True)
def test_a_picture_that_arrives_while_its_farm_goes_leaves_no_file(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    sent, farm, save = snapshot(64, 48), cast.farm.id, default_storage.save
    sha256 = named(cast.owner, sent)

    def save_as_the_farm_goes(name: str, content: "File[bytes]") -> str:
        Farm.objects.filter(id=farm).delete()
        return save(name, content)

    monkeypatch.setattr(default_storage, "save", save_as_the_farm_goes)
    assert put(cast.owner, sha256, sent).status_code == 404
    assert files_of(farm) == []
    assert not PhotoFile.objects.exists()
