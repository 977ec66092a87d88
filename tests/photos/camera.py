"""Makes pictures as a phone's camera writes them: large, turned by EXIF, with the position and more inside."""

from io import BytesIO

from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

TURNED_RIGHT = 6  # EXIF orientation: the top of the picture lies at the right-hand side of the stored pixels
SECRET = "59 54 50.0 N"
RED, BLUE = (200, 30, 30), (30, 30, 200)


def snapshot(width: int = 4032, height: int = 3024, orientation: int = TURNED_RIGHT) -> bytes:
    """A JPEG whose upright upper half is red and lower half blue, with GPS, XMP, a comment and a tail."""
    picture = Image.new("RGB", (width, height), BLUE)
    # With orientation 6 the upright top is the stored left edge.
    red = (0, 0, width // 2, height) if orientation == TURNED_RIGHT else (0, 0, width, height // 2)
    picture.paste(RED, red)
    exif = Image.Exif()
    exif[Base.Orientation] = orientation
    exif[Base.Make] = "Pinhole"
    gps = exif.get_ifd(IFD.GPSInfo)
    gps[GPS.GPSLatitudeRef], gps[GPS.GPSLatitude] = "N", (59.0, 54.0, 50.0)
    gps[GPS.GPSLongitudeRef], gps[GPS.GPSLongitude] = "E", (10.0, 45.0, 8.0)
    out = BytesIO()
    xmp = f"<x:xmpmeta xmlns:x='adobe:ns:meta/'>{SECRET}</x:xmpmeta>".encode()
    picture.save(out, "JPEG", exif=exif, comment=SECRET.encode(), xmp=xmp, quality=85)
    return out.getvalue() + b"<script>" + SECRET.encode()


def top_and_bottom(picture: Image.Image) -> tuple[str, str]:
    """The colours in the middle of the upper and lower half, in words."""

    def colour(y: int) -> str:
        red, _, blue = picture.convert("RGB").getpixel((picture.width // 2, y))  # type: ignore[misc]
        return "red" if red > blue else "blue"

    return colour(picture.height // 4), colour(3 * picture.height // 4)
