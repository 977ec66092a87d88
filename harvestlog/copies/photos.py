"""The photos of a copy, and their way back."""

import hashlib
import os
import re
import shutil
from collections.abc import Mapping
from pathlib import Path

from django.conf import settings

from harvestlog.copies.facts import PhotoRow
from harvestlog.copies.manifest import FileFacts

PICTURE = re.compile(r"([0-9a-f]{64})\.jpg")


def gather(rows: list[PhotoRow], copy: Path, former: Path | None) -> list[str]:
    """Puts every picture the database vouches for into the copy; returns the names of those that could not be read whole.

    What the former copy has already is linked, so that seven copies take little more room than one. Never linked to
    the server's own file: a byte that goes wrong there must not go wrong in the copies.
    """
    lost = []
    for row in rows:
        target = copy / "photos" / row.name
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if former is not None and _link(former / "photos" / row.name, target, row):
            continue
        source = settings.PHOTOS / row.name
        if is_whole(source, row.sha256):
            copy_file(source, target)
        else:
            lost.append(row.name)
    return lost


def _link(source: Path, target: Path, row: PhotoRow) -> bool:
    if not is_whole(source, row.sha256):
        return False
    try:
        os.link(source, target)
    except OSError:  # a file system without hard links, or too many of them
        return False
    return True


def is_whole(file: Path, sha256: str) -> bool:
    return file.is_file() and hash_of(file) == sha256


def hash_of(file: Path) -> str:
    with file.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def copy_file(source: Path, target: Path) -> None:
    """On the disk under its name once this returns, whole or not at all."""
    coming = target.with_name(f".coming-{target.name}")
    try:
        with source.open("rb") as read, coming.open("wb") as write:
            shutil.copyfileobj(read, write)
            write.flush()
            os.fsync(write.fileno())
        coming.chmod(0o600)
        coming.replace(target)
    except BaseException:
        coming.unlink(missing_ok=True)
        raise


def bring_back(copy: Path, files: Mapping[str, FileFacts]) -> None:
    """Adds the pictures among the copy's `files` to the server's, and nothing else that may lie in the copy.

    The server's others stay where they are: the records that name them may still come from a phone.
    """
    for name, file in files.items():
        target = settings.PHOTOS / name.removeprefix("photos/")
        if name.startswith("photos/") and not is_whole(target, file.sha256):
            target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            copy_file(copy / name, target)


def adopt() -> int:
    """Vouches for pictures that lie here since after the copy: phones name them again, and may have dropped them.

    Returns how many.
    """
    from harvestlog.accounts.models import Farm
    from harvestlog.photos.models import PhotoFile

    count = 0
    for farm in Farm.objects.values_list("id", flat=True):
        known = set(PhotoFile.objects.filter(farm_id=farm).values_list("sha256", flat=True))
        for file in sorted((settings.PHOTOS / str(farm)).glob("*/*.jpg")):
            named = PICTURE.fullmatch(file.name)
            if named is None or named[1] in known:
                continue
            said = {"kept_sha256": hash_of(file), "size": file.stat().st_size}
            name = str(file.relative_to(settings.PHOTOS))
            PhotoFile.objects.create(farm_id=farm, sha256=named[1], name=name, **said)
            count += 1
    return count
