"""Finds pictures of one farm."""

from django.core.files.storage import default_storage
from django.db.models import Q

from harvestlog.accounts.access import Member, of_farm
from harvestlog.photos.models import Photo, PhotoFile


def is_named(member: Member, sha256: str) -> bool:
    """Whether a photo record of this farm names the picture, as its full size or its thumbnail."""
    return of_farm(Photo.objects, member).filter(Q(sha256=sha256) | Q(thumb_sha256=sha256)).exists()


def kept(member: Member, sha256: str) -> PhotoFile | None:
    """The picture, where its file is still on the disk: a phone gives up its own copy on this word."""
    file = of_farm(PhotoFile.objects, member).filter(sha256=sha256).first()
    return file if file is not None and default_storage.exists(file.name) else None
