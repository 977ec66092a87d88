"""Makes a clean JPEG of what a phone sent: upright, small, and with nothing in it but the picture."""

import warnings
from io import BytesIO
from threading import BoundedSemaphore

from PIL import Image, ImageOps

from harvestlog.photos.forms import LONGEST_SIDE

MOST_BYTES = 3 * 1024 * 1024
MOST_PIXELS = 50_000_000
# PNG, WebP and a progressive JPEG must be opened whole: 16 megapixels of WebP, the hungriest, take 280 MB (measured).
# Other JPEGs are opened at a fraction of their size.
MOST_PIXELS_WHOLE = 16_000_000
# A decoder goes over all pixels once for every scan, and one scan takes a few bytes: 500 of them in 0.2 MB cost
# 20 seconds. Cameras write 1, progressive encoders about 10.
MOST_SCANS = 64
QUALITY = 86
FORMATS = ("JPEG", "PNG", "WEBP")
_JPEG, _SCAN = b"\xff\xd8\xff", b"\xff\xda"
# One picture at a time: a small server has memory for one large picture, not for one in each of its threads.
# Python's filter of warnings, which is set here, is also shared by all threads.
_desk = BoundedSemaphore(1)
# Two more may wait for the desk, each in a thread of the server's four: one is left for everybody else's requests.
_queue = BoundedSemaphore(3)


class NotAPicture(ValueError):
    """The bytes are no JPEG, PNG or WebP that can be read to the end."""

    code = "not_a_picture"


class NoDesk(Exception):
    """Others are being redrawn. The phone keeps the picture and sends it with its next pass."""


class TooManyPixels(ValueError):
    """The picture would take too much memory to open."""

    code = "too_many_pixels"


def clean(sent: bytes) -> bytes:
    """The picture as a new upright JPEG of at most 1600 px, with no position, comment or hidden tail.

    Raises NotAPicture or TooManyPixels, both with a sentence for the person who took it; NoDesk when others are waiting.
    """
    if not _queue.acquire(blocking=False):
        raise NoDesk
    try:
        return _clean(sent)
    finally:
        _queue.release()


def _clean(sent: bytes) -> bytes:
    is_jpeg = sent.startswith(_JPEG)
    most = MOST_PIXELS if is_jpeg else MOST_PIXELS_WHOLE
    with _desk, warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            # Only in a JPEG do these two bytes mean a scan; any other compressed file has them by chance.
            if is_jpeg and sent.count(_SCAN) > MOST_SCANS:
                raise NotAPicture
            with Image.open(BytesIO(sent), formats=FORMATS) as picture:
                if "progressive" in picture.info:
                    most = MOST_PIXELS_WHOLE
                if picture.width * picture.height > most:
                    raise TooManyPixels
                return _redrawn(picture)
        except (TooManyPixels, Image.DecompressionBombWarning, Image.DecompressionBombError) as bomb:
            raise TooManyPixels(
                f"This picture has more than {most // 1_000_000} megapixels. "
                "Choose a smaller size in the camera and take it again."
            ) from bomb
        except Exception as error:  # a broken file can fail anywhere inside a decoder, in any way
            raise NotAPicture(
                "This file cannot be read as a JPEG, PNG or WebP picture. Take it again."
            ) from error


def _redrawn(picture: Image.Image) -> bytes:
    picture.seek(0)
    picture.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))  # lets a JPEG be decoded at a fraction of its size
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))  # before it is turned: a turned copy would be a large one
    upright = ImageOps.exif_transpose(picture)
    # Only pixels cross over to the new image: position, XMP, comments and anything behind the picture stay.
    fresh = Image.new("RGB", upright.size, "white")
    layer = upright.convert("RGBA")
    fresh.paste(layer, mask=layer.getchannel("A"))
    out = BytesIO()
    fresh.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()
