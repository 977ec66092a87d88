"""The ticked pictures of a report, small enough that two dozen of them go into one file."""

import logging
from collections.abc import Sequence
from io import BytesIO
from uuid import UUID

from django.core.files.storage import default_storage
from PIL import Image

from harvestlog.photos.models import PhotoFile
from harvestlog.reports.supplier_report.sheet import Picture

LONGEST_SIDE = 960  # 80 mm on paper at 300 dots an inch
QUALITY = 82
log = logging.getLogger(__name__)


def pictures_of(farm: UUID, wanted: Sequence[Picture]) -> dict[str, bytes]:
    """JPEGs by the hash of the full picture: that one, else its thumbnail; none where neither lies whole on the server.

    The files were cleaned when they came, and lie under hashes: what a hash names never changes.
    """
    hashes = {sha for picture in wanted for sha in (picture.sha256, picture.thumb_sha256)}
    rows = PhotoFile.objects.filter(farm_id=farm, sha256__in=hashes)
    names = dict(rows.values_list("sha256", "name"))
    found = {}
    for picture in wanted:
        kept = _read(names.get(picture.sha256)) or _read(names.get(picture.thumb_sha256))
        if kept is not None:
            found[picture.sha256] = kept
    return found


def _read(name: str | None) -> bytes | None:
    """None where it is missing, or damaged on the disk: one picture must not keep a report from being read."""
    if name is None or not default_storage.exists(name):
        return None
    try:
        with default_storage.open(name) as file, Image.open(file, formats=("JPEG",)) as picture:
            return _smaller(picture)
    except (OSError, SyntaxError) as error:  # what Pillow raises for bytes that are no whole picture
        log.warning("the picture %s is left out of a report: %s", name, error)
        return None


def _smaller(picture: Image.Image) -> bytes:
    picture.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    out = BytesIO()
    picture.convert("RGB").save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()
