"""Pictures that nobody's camera took, each made here: what is to become of it, and its bytes."""

import struct
import zlib
from collections.abc import Callable
from io import BytesIO
from typing import Any

from PIL import Image
from PIL.PngImagePlugin import PngInfo

from tests.photos.camera import SECRET, snapshot

TAKEN, REFUSED = 201, 422
Upload = tuple[int, bytes]


def saved(picture: Image.Image, kind: str, **how: Any) -> bytes:
    out = BytesIO()
    picture.save(out, kind, **how)
    return out.getvalue()


def plain(mode: str = "RGB", side: int = 40) -> Image.Image:
    return Image.new(mode, (side, side))


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(
    width: int, height: int, *, depth: int = 8, colour: int = 2, pixels: bytes = b"", more: bytes = b""
) -> bytes:
    """A PNG that claims this size, whatever pixels are inside."""
    head = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    data = zlib.compress(pixels, 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + more + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def sixteen_bit() -> bytes:
    row = b"\0" + b"\x12\x34\x56\x78\x9a\xbc" * 8
    return png(8, 8, depth=16, pixels=row * 8)


def text_bomb() -> bytes:
    """60 MB of a comment in 60 kB."""
    return png(
        8,
        8,
        pixels=(b"\0" + b"\0" * 24) * 8,
        more=chunk(b"zTXt", b"Comment\0\0" + zlib.compress(b"A" * 60_000_000, 9)),
    )


def pixel_bomb() -> bytes:
    """100 megapixels of nothing, in 300 kB."""
    return png(10_000, 10_000, pixels=b"\0" * (10_000 * 30_001))


def scans(count: int) -> bytes:
    """A progressive JPEG whose scans are said again and again: each costs a pass over all pixels."""
    sent = saved(plain(side=256), "JPEG", progressive=True)
    first = sent.index(b"\xff\xda")
    last = sent.rindex(b"\xff\xda")
    return sent[:first] + sent[first:last] * count + sent[last:]


def commented_png() -> bytes:
    told = PngInfo()
    told.add_text("Comment", SECRET)
    told.add_itxt("XML:com.adobe.xmp", f"<x:xmpmeta>{SECRET}</x:xmpmeta>")
    exif = Image.Exif()
    exif[0x010E] = SECRET
    return saved(plain(), "PNG", pnginfo=told, exif=exif)


def animated(kind: str) -> bytes:
    frames = [Image.new("RGB", (32, 32), colour) for colour in ("red", "green", "blue")]
    return saved(frames[0], kind, save_all=True, append_images=frames[1:], duration=40)


def several_in_one() -> bytes:
    """MPO: what phones with two lenses write, a JPEG with another behind it."""
    second = Image.open(BytesIO(snapshot(32, 24)))
    return saved(Image.new("RGB", (64, 48), "red"), "MPO", save_all=True, append_images=[second])


def gps_in_webp() -> bytes:
    exif = Image.open(BytesIO(snapshot(64, 48))).getexif()
    return saved(plain(), "WEBP", exif=exif, xmp=f"<x:xmpmeta>{SECRET}</x:xmpmeta>".encode())


def segment(marker: bytes, data: bytes) -> bytes:
    """A JPEG with a segment of this kind right behind its beginning."""
    sent = saved(plain(), "JPEG")
    return sent[:2] + marker + struct.pack(">H", len(data) + 2) + data + sent[2:]


UPLOADS: dict[str, Callable[[], Upload]] = {
    # No pictures at all.
    "zero bytes": lambda: (REFUSED, b"\0" * 4096),
    "text": lambda: (REFUSED, b"not a picture at all"),
    "a page named .jpg": lambda: (REFUSED, b"<!doctype html><script>alert(1)</script>"),
    "an SVG with a script": lambda: (REFUSED, b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"),
    "PostScript": lambda: (REFUSED, b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n(/etc/passwd) (r) file\n"),
    "a PDF": lambda: (REFUSED, b"%PDF-1.7\n1 0 obj<</JS(app.alert(1))>>endobj"),
    "a zip": lambda: (REFUSED, b"PK\x03\x04" + b"\0" * 200),
    "a GIF": lambda: (REFUSED, saved(plain("P"), "GIF")),
    "an animated GIF": lambda: (REFUSED, animated("GIF")),
    "a TIFF": lambda: (REFUSED, saved(plain(), "TIFF")),
    "an ICO": lambda: (REFUSED, saved(plain("RGBA"), "ICO")),
    "a BMP": lambda: (REFUSED, saved(plain(), "BMP")),
    "a JPEG 2000": lambda: (REFUSED, b"\0\0\0\x0cjP  \r\n\x87\n" + b"\0" * 99),
    # Broken ones.
    "half a JPEG": lambda: (REFUSED, snapshot(400, 300)[:1500]),
    "a JPEG's beginning only": lambda: (REFUSED, b"\xff\xd8\xff"),
    "a PNG cut short": lambda: (REFUSED, png(40, 40)),
    "a PNG with a wrong checksum": lambda: (REFUSED, png(8, 8, pixels=b"\0" * 200).replace(b"IDAT", b"IDAX")),
    "a WebP cut short": lambda: (REFUSED, saved(Image.effect_noise((200, 200), 80), "WEBP")[:900]),
    "a PNG behind a JPEG's mark": lambda: (REFUSED, b"\xff\xd8\xff" + saved(plain(), "PNG")),
    "a PNG of no width": lambda: (REFUSED, png(0, 40)),
    "a segment longer than its file": lambda: (REFUSED, b"\xff\xd8\xff\xe1\xff\xffExif\0\0" + b"A" * 40),
    # Bombs.
    "a PNG that claims 2 147 483 647 px": lambda: (REFUSED, png(2**31 - 1, 2**31 - 1)),
    "100 megapixels of nothing": lambda: (REFUSED, pixel_bomb()),
    "60 MB of comment in a PNG": lambda: (REFUSED, text_bomb()),
    "500 scans": lambda: (REFUSED, scans(60)),
    # Strange but honest ones: taken, and cleaned.
    "progressive": lambda: (TAKEN, saved(plain(side=300), "JPEG", progressive=True)),
    "CMYK": lambda: (TAKEN, saved(plain("CMYK"), "JPEG")),
    "grey": lambda: (TAKEN, saved(plain("L"), "JPEG")),
    "16 bits a colour": lambda: (TAKEN, sixteen_bit()),
    "a palette with a transparent colour": lambda: (TAKEN, saved(plain("P"), "PNG", transparency=0)),
    "an animated PNG": lambda: (TAKEN, animated("PNG")),
    "an animated WebP": lambda: (TAKEN, animated("WEBP")),
    "two pictures in one": lambda: (TAKEN, several_in_one()),
    "position, XMP, comment and a script behind": lambda: (TAKEN, snapshot(64, 48)),
    "comments in a PNG": lambda: (TAKEN, commented_png()),
    "position in a WebP": lambda: (TAKEN, gps_in_webp()),
    "junk for a colour profile": lambda: (TAKEN, saved(plain(), "JPEG", icc_profile=SECRET.encode() * 400)),
    "a zip behind a JPEG": lambda: (TAKEN, saved(plain(), "JPEG") + b"PK\x03\x04" + SECRET.encode()),
    "a page inside a JPEG": lambda: (TAKEN, segment(b"\xff\xfe", b"<script>alert(1)</script>" + SECRET.encode())),
    "a hostile name inside": lambda: (TAKEN, segment(b"\xff\xed", b"Photoshop 3.0\0../../etc/passwd\0" + SECRET.encode())),
    "EXIF that is no EXIF": lambda: (TAKEN, segment(b"\xff\xe1", b"Exif\0\0" + b"\xff" * 400 + SECRET.encode())),
    "a picture 1 px high": lambda: (TAKEN, saved(Image.new("RGB", (3000, 1)), "PNG")),
}  # fmt: skip
