"""Finds pictures of one farm."""

from uuid import UUID

from django.db.models import Q

from harvestlog.photos.models import Photo, PhotoFile


def is_named(farm: UUID, sha256: str) -> bool:
    """Whether a photo record of this farm names the picture, as its full size or its thumbnail."""
    return Photo.objects.filter(Q(sha256=sha256) | Q(thumb_sha256=sha256), farm=farm).exists()


def kept(farm: UUID, sha256: str) -> PhotoFile | None:
    return PhotoFile.objects.filter(farm=farm, sha256=sha256).first()
