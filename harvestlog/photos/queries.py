"""Finds pictures of one farm."""

from collections.abc import Collection
from uuid import UUID

from django.core.files.storage import default_storage

from harvestlog.accounts.access import Member, of_farm
from harvestlog.photos.models import Photo, PhotoFile


def is_named(member: Member, sha256: str) -> bool:
    """Whether a photo record of this farm names the picture, as its full size or its thumbnail."""
    return is_named_in(member.farm_id, sha256)


def is_named_in(farm: UUID, sha256: str) -> bool:
    # Two questions, each with an index: with OR between them every photo of the farm would be read.
    photos = Photo.objects.filter(farm_id=farm)
    return photos.filter(sha256=sha256).exists() or photos.filter(thumb_sha256=sha256).exists()


def kept(member: Member, sha256: str) -> PhotoFile | None:
    """The picture, where its file is still on the disk: a phone gives up its own copy on this word."""
    file = of_farm(PhotoFile.objects, member).filter(sha256=sha256).first()
    return file if file is not None and default_storage.exists(file.name) else None


def vouched_for(names: Collection[str]) -> set[str]:
    """Those among these files that a row stands for, of whichever farm."""
    return set(PhotoFile.objects.filter(name__in=names).values_list("name", flat=True))
