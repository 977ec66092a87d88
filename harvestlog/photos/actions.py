"""Keeps the pictures that photo records name."""

import hashlib
from uuid import UUID

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from harvestlog.photos.models import PhotoFile
from harvestlog.photos.pictures import clean


class HashDiffers(ValueError):
    """The bytes that arrived are not the ones that were named."""

    code = "hash_differs"


def keep_picture(*, farm: UUID, sha256: str, sent: bytes) -> PhotoFile:
    """Cleans and keeps a picture under the hash of what was sent; the file first, then the row that vouches for it."""
    if hashlib.sha256(sent).hexdigest() != sha256:
        raise HashDiffers("The picture was damaged on its way. It is sent again with the next pass.")
    return _keep(farm, sha256, clean(sent))


def keep_own_picture(*, farm: UUID, sha256: str, picture: bytes) -> PhotoFile:
    """Keeps a picture that comes with the program itself and is clean already."""
    return _keep(farm, sha256, picture)


def _keep(farm: UUID, sha256: str, cleaned: bytes) -> PhotoFile:
    name = default_storage.save(f"{farm}/{sha256[:2]}/{sha256}.jpg", ContentFile(cleaned))
    file, _ = PhotoFile.objects.get_or_create(
        farm_id=farm,
        sha256=sha256,
        defaults={"kept_sha256": hashlib.sha256(cleaned).hexdigest(), "name": name, "size": len(cleaned)},
    )
    return file
