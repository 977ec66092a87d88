"""How a file comes to lie on the disk."""

import os
import stat
from pathlib import Path

import pytest
from django.core.files.base import ContentFile

from harvestlog.photos.storage import PhotoFolder


@pytest.mark.skipif(os.name != "posix", reason="only POSIX opens folders")
def test_the_folders_are_on_the_disk_too_once_a_picture_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[tuple[int, bool]] = []  # inode, and whether the picture had its name by then
    kept, fsync = tmp_path / "farm" / "ab" / "abc.jpg", os.fsync

    def watched(handle: int) -> None:
        said = os.fstat(handle)
        if stat.S_ISDIR(said.st_mode):
            synced.append((said.st_ino, kept.exists()))
        fsync(handle)

    monkeypatch.setattr(os, "fsync", watched)
    PhotoFolder(location=tmp_path).save("farm/ab/abc.jpg", ContentFile(b"picture"))
    folders = (kept.parent, kept.parent.parent, tmp_path)
    assert synced == [(folder.stat().st_ino, True) for folder in folders]
