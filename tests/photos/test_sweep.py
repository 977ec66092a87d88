"""Files left over by a crash go after two days; nothing else does."""

import os
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from harvestlog.photos.actions import keep_own_picture
from harvestlog.photos.sweep import OLDEST, sweep
from tests.cast import Cast

SHA256 = "ab" * 32
MINUTE = timedelta(minutes=1)

pytestmark = pytest.mark.django_db


def left_over(cast: Cast, name: str, age: timedelta) -> Path:
    """A file of the farm's folder that no row names, last written so long ago."""
    path = Path(default_storage.path(f"{cast.owner.farm.id}/cd/{name}"))
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(b"left over")
    at = (timezone.now() - age).timestamp()
    os.utime(path, (at, at))
    return path


def test_a_file_that_no_row_names_goes_after_two_days(cast: Cast) -> None:
    path = left_over(cast, f"{'cd' * 32}.jpg", OLDEST + MINUTE)
    assert sweep() == 1
    assert not path.exists()


def test_a_half_written_file_goes_after_two_days(cast: Cast) -> None:
    path = left_over(cast, ".coming-x1y2z3", OLDEST + MINUTE)
    sweep()
    assert not path.exists()


def test_a_younger_one_stays(cast: Cast) -> None:
    path = left_over(cast, f"{'cd' * 32}.jpg", OLDEST - MINUTE)
    assert sweep() == 0
    assert path.exists()


def test_a_picture_with_a_row_stays_however_old_it_is(cast: Cast) -> None:
    kept = keep_own_picture(farm=cast.owner.farm.id, sha256=SHA256, picture=b"a picture")
    path = Path(default_storage.path(kept.name))
    os.utime(path, (0, 0))
    sweep()
    assert path.read_bytes() == b"a picture"


def test_a_picture_that_arrives_while_its_old_file_is_swept_stays(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = left_over(cast, f"{'cd' * 32}.jpg", OLDEST + MINUTE)
    rename = Path.rename

    def arriving(self: Path, target: Path) -> Path:
        if self == path:
            path.write_bytes(b"just sent")  # now it is young
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", arriving)
    sweep()
    assert path.read_bytes() == b"just sent"
