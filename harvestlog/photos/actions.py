"""Keeps the pictures that photo records name."""

import hashlib
import os
from uuid import UUID

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import IntegrityError

from harvestlog.accounts.models import Farm
from harvestlog.accounts.refusals import absent
from harvestlog.photos.models import PhotoFile
from harvestlog.photos.pictures import clean

# In a demo farm, to which anybody has the door open; the season's own, about 80, are among them.
MOST_DEMO_FILES = 160
JPEG_BEGINS, JPEG_ENDS = b"\xff\xd8", b"\xff\xd9"


class HashDiffers(ValueError):
    """The bytes that arrived are not the ones that were named."""

    code = "hash_differs"


class DemoFull(ValueError):
    """This demo farm takes no more pictures."""

    code = "demo_full"


def keep_picture(*, farm: UUID, sha256: str, sent: bytes) -> PhotoFile:
    """Cleans and keeps a picture under the hash of what was sent; the file first, then the row that vouches for it.

    Raises HashDiffers, DemoFull, NotAPicture or TooManyPixels, each with a sentence; Refused where the farm has gone.
    """
    others = PhotoFile.objects.filter(farm_id=farm, farm__is_demo=True).exclude(sha256=sha256)
    if others.count() >= MOST_DEMO_FILES:
        raise DemoFull(
            f"The demo farm keeps {MOST_DEMO_FILES} pictures and thumbnails, and has them. "
            "This picture stays on this phone. Start your own farm to keep more."
        )
    if hashlib.sha256(sent).hexdigest() != sha256:
        raise HashDiffers("The picture was damaged on its way. It is sent again with the next pass.")
    return _keep(farm, sha256, clean(sent))


def keep_own_picture(*, farm: UUID, sha256: str, picture: bytes) -> PhotoFile:
    """Keeps a picture that comes with the program itself and is clean already."""
    return _keep(farm, sha256, picture)


def take_back(*, farm: UUID, sha256: str) -> PhotoFile | None:
    """The row of a picture that a record names and that lies here without one; None where it does not, or not whole.

    So it is after an older database was put in place by hand: its phones name the picture again and hold it no more.
    """
    name = _name(farm, sha256)
    try:
        # Or a sweep, which may be about to remove it, would not see that it is wanted.
        os.utime(default_storage.path(name))
        with default_storage.open(name) as file:
            picture = file.read()
    except FileNotFoundError:
        return None
    if not (picture.startswith(JPEG_BEGINS) and picture.endswith(JPEG_ENDS)):
        return None
    return _row(farm, sha256, name, picture)


def _row(farm: UUID, sha256: str, name: str, picture: bytes) -> PhotoFile:
    said = {"kept_sha256": hashlib.sha256(picture).hexdigest(), "name": name, "size": len(picture)}
    row, _ = PhotoFile.objects.update_or_create(farm_id=farm, sha256=sha256, defaults=said)
    return row


def _name(farm: UUID, sha256: str) -> str:
    return f"{farm}/{sha256[:2]}/{sha256}.jpg"


def _keep(farm: UUID, sha256: str, cleaned: bytes) -> PhotoFile:
    name = default_storage.save(_name(farm, sha256), ContentFile(cleaned))
    try:
        return _row(farm, sha256, name, cleaned)
    except IntegrityError:
        if Farm.objects.filter(id=farm).exists():
            raise
        forget_farm(farm)  # it was deleted meanwhile, and its folder is back with this one file
        raise absent() from None


def forget_farm(farm: UUID) -> None:
    """Removes every file of a farm that is no more, those that no row vouches for included."""
    _remove(str(farm))


def _remove(folder: str) -> None:
    if not default_storage.exists(folder):
        return
    folders, files = default_storage.listdir(folder)
    for name in folders:
        _remove(f"{folder}/{name}")
    for name in files:
        default_storage.delete(f"{folder}/{name}")
    default_storage.delete(folder)
