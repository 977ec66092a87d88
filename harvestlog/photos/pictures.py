"""Makes a clean JPEG of what a phone sent: upright, small, and with nothing in it but the picture."""

import warnings
from io import BytesIO

from PIL import Image, ImageOps

from harvestlog.photos.forms import LONGEST_SIDE

MOST_BYTES = 3 * 1024 * 1024
MOST_PIXELS = 50_000_000
QUALITY = 86
FORMATS = ("JPEG", "PNG", "WEBP")


class NotAPicture(ValueError):
    """The bytes are no JPEG, PNG or WebP that can be read to the end."""

    code = "not_a_picture"


class TooManyPixels(ValueError):
    """The picture would take too much memory to open."""

    code = "too_many_pixels"


def clean(sent: bytes) -> bytes:
    """The picture as a new upright JPEG of at most 1600 px, with no position, comment or hidden tail.

    Raises NotAPicture or TooManyPixels, both with a sentence for the person who took it.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            with Image.open(BytesIO(sent), formats=FORMATS) as picture:
                return _redrawn(picture)
        except (TooManyPixels, Image.DecompressionBombWarning, Image.DecompressionBombError) as bomb:
            raise TooManyPixels(
                f"This picture has more than {MOST_PIXELS // 1_000_000} megapixels. "
                "Choose a smaller size in the camera and take it again."
            ) from bomb
        except Exception as error:  # a broken file can fail anywhere inside a decoder, in any way
            raise NotAPicture(
                "This file cannot be read as a JPEG, PNG or WebP picture. Take it again."
            ) from error


def _redrawn(picture: Image.Image) -> bytes:
    if picture.width * picture.height > MOST_PIXELS:
        raise TooManyPixels
    picture.seek(0)
    picture.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))  # lets a JPEG be decoded at a fraction of its size
    upright = ImageOps.exif_transpose(picture)
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    # Only pixels cross over to the new image: position, XMP, comments and anything behind the picture stay.
    fresh = Image.new("RGB", upright.size, "white")
    layer = upright.convert("RGBA")
    fresh.paste(layer, mask=layer.getchannel("A"))
    out = BytesIO()
    fresh.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()
