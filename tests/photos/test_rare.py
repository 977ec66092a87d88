"""What seldom happens to a picture on its way to the disk."""

import errno
import os
from pathlib import Path

import pytest
from django.core.files.base import ContentFile
from django.db import IntegrityError

from harvestlog.photos import actions
from harvestlog.photos.models import PhotoFile
from harvestlog.photos.storage import PhotoFolder
from tests.cast import Cast
from tests.photos.camera import snapshot


def test_a_disk_that_is_full_leaves_no_half_picture_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        PhotoFolder(tmp_path).save("farm/ab/picture.jpg", ContentFile(b"picture"))
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


def test_a_fault_of_the_database_is_not_taken_for_a_farm_that_has_gone(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(**_: object) -> None:
        raise IntegrityError("something else")

    monkeypatch.setattr(PhotoFile.objects, "update_or_create", fails)
    with pytest.raises(IntegrityError, match="something else"):
        actions.keep_own_picture(farm=cast.farm.id, sha256="a" * 64, picture=snapshot(8, 8))
