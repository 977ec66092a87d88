"""What leaves the cleaning of a picture."""

import struct
import threading
import zlib
from io import BytesIO

import pytest
from PIL import Image, PngImagePlugin

from harvestlog.photos import pictures
from harvestlog.photos.pictures import MOST_SCANS, NotAPicture, TooManyPixels, clean
from tests.photos.camera import SECRET, snapshot, top_and_bottom


@pytest.fixture(scope="module")
def sent() -> bytes:
    return snapshot()


@pytest.fixture(scope="module")
def cleaned(sent: bytes) -> bytes:
    return clean(sent)


def opened(picture: bytes) -> Image.Image:
    return Image.open(BytesIO(picture))


def test_the_camera_of_these_tests_does_write_what_must_go(sent: bytes) -> None:
    with opened(sent) as picture:
        assert picture.size == (4032, 3024)
        assert picture.getexif().get_ifd(0x8825)
        assert sent.count(SECRET.encode()) == 3


def test_a_turned_picture_comes_out_upright(cleaned: bytes) -> None:
    with opened(cleaned) as picture:
        assert picture.height > picture.width
        assert top_and_bottom(picture) == ("red", "blue")


def test_the_longest_side_is_at_most_1600(cleaned: bytes) -> None:
    with opened(cleaned) as picture:
        assert max(picture.size) == 1600


def test_no_position_comment_xmp_or_tail_is_left(cleaned: bytes) -> None:
    with opened(cleaned) as picture:
        assert not picture.getexif()
        assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density", "dpi"}
    assert SECRET.encode() not in cleaned
    assert b"script" not in cleaned


def test_a_small_picture_keeps_its_size() -> None:
    with opened(clean(snapshot(320, 240, orientation=1))) as picture:
        assert picture.size == (320, 240)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_is_taken_out(orientation: int) -> None:
    picture = Image.new("RGB", (64, 32), "white")
    exif = Image.Exif()
    exif[0x0112] = orientation
    out = BytesIO()
    picture.save(out, "JPEG", exif=exif)
    with opened(clean(out.getvalue())) as upright:
        assert upright.size == ((64, 32) if orientation < 5 else (32, 64))


def test_what_was_see_through_becomes_white() -> None:
    out = BytesIO()
    Image.new("RGBA", (8, 8), (255, 0, 0, 0)).save(out, "PNG")
    with opened(clean(out.getvalue())) as picture:
        assert picture.getpixel((4, 4)) == (255, 255, 255)


def test_of_an_animation_the_first_frame_is_kept() -> None:
    out = BytesIO()
    frames = [Image.new("RGB", (8, 8), colour) for colour in ("red", "blue")]
    frames[0].save(out, "WEBP", save_all=True, append_images=frames[1:])
    with opened(clean(out.getvalue())) as picture:
        red, _, blue = picture.getpixel((4, 4))  # type: ignore[misc]
        assert red > blue


def png_that_claims(width: int, height: int) -> bytes:
    """A PNG whose header promises far more pixels than its few bytes hold."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0" * 99))
        + chunk(b"IEND", b"")
    )


def jpeg_that_claims(width: int, height: int, *, progressive: bool = False) -> bytes:
    """The same as a JPEG: the size stands five bytes behind the marker that begins the frame."""
    out = BytesIO()
    Image.new("RGB", (32, 32)).save(out, "JPEG", progressive=progressive)
    at = out.getvalue().index(b"\xff\xc2" if progressive else b"\xff\xc0") + 5
    return out.getvalue()[:at] + struct.pack(">HH", height, width) + out.getvalue()[at + 4 :]


@pytest.mark.parametrize("side", [7_100, 20_000, 60_000])
def test_a_jpeg_of_too_many_pixels_is_refused_before_it_is_decoded(side: int) -> None:
    with pytest.raises(TooManyPixels, match="50 megapixels"):
        clean(jpeg_that_claims(side, side))


@pytest.mark.parametrize("side", [4_001, 20_000, 60_000])
def test_a_picture_that_must_be_opened_whole_may_have_fewer_pixels(side: int) -> None:
    with pytest.raises(TooManyPixels, match="16 megapixels"):
        clean(png_that_claims(side, side))


def test_a_progressive_jpeg_is_one_that_must_be_opened_whole() -> None:
    with pytest.raises(TooManyPixels, match="16 megapixels"):
        clean(jpeg_that_claims(4_001, 4_001, progressive=True))


def progressive(scans: int) -> bytes:
    """A good JPEG whose last scan comes again and again."""
    out = BytesIO()
    Image.new("RGB", (64, 48)).save(out, "JPEG", progressive=True)
    body, end = out.getvalue()[:-2], out.getvalue()[-2:]
    last = body[body.rindex(b"\xff\xda") :]
    return body + last * (scans - body.count(b"\xff\xda")) + end


def test_a_jpeg_of_many_scans_is_taken() -> None:
    with opened(clean(progressive(MOST_SCANS))) as picture:
        assert picture.size == (64, 48)


def test_a_jpeg_of_more_scans_than_any_camera_writes_is_no_picture() -> None:
    with pytest.raises(NotAPicture, match="cannot be read"):
        clean(progressive(MOST_SCANS + 1))


def test_what_looks_like_a_scan_in_a_png_is_none() -> None:
    out, more = BytesIO(), PngImagePlugin.PngInfo()
    more.add(b"teSt", b"\xff\xda" * (MOST_SCANS + 1))
    Image.new("RGB", (8, 8)).save(out, "PNG", pnginfo=more)
    with opened(clean(out.getvalue())) as picture:
        assert picture.size == (8, 8)


def test_pictures_are_opened_one_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    open_now, most, redrawn = [0], [0], pictures._redrawn

    def counted(picture: Image.Image) -> bytes:
        open_now[0] += 1
        most[0] = max(most[0], open_now[0])
        threading.Event().wait(0.05)
        open_now[0] -= 1
        return redrawn(picture)

    monkeypatch.setattr(pictures, "_redrawn", counted)
    small = snapshot(64, 48)
    threads = [
        threading.Thread(target=clean, args=(small,)) for _ in range(2)
    ]  # a third would be turned away
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert most == [1]


def test_a_48_megapixel_picture_is_taken() -> None:
    with opened(clean(snapshot(8000, 6000, orientation=1))) as picture:
        assert picture.size == (1600, 1200)


BROKEN = {
    "nothing": b"",
    "text": b"not a picture at all",
    "half a JPEG": snapshot(400, 300)[:1500],
    "a page named .jpg": b"<!doctype html><script>alert(1)</script>",
    "SVG": b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>",
    "a GIF": b"GIF89a\x01\x00\x01\x00\x80\x00\x00\x00\x00\x00\xff\xff\xff!\xf9\x04\x00\x00\x00\x00\x00,\x00\x00\x00\x00"
    b"\x01\x00\x01\x00\x00\x02\x02D\x01\x00;",
    "a PNG cut short": png_that_claims(40, 40),
}


@pytest.mark.parametrize("name", BROKEN)
def test_what_is_no_picture_is_refused_in_words(name: str) -> None:
    with pytest.raises(NotAPicture, match="cannot be read"):
        clean(BROKEN[name])


def test_a_fourth_picture_at_once_does_not_wait_in_a_thread_that_others_need() -> None:
    with pictures._queue, pictures._queue, pictures._queue, pytest.raises(pictures.NoDesk):
        clean(snapshot(400, 300))
    assert clean(snapshot(400, 300))
