"""The demo farm's pictures are there, are what their records say, and carry nothing but the picture."""

import hashlib
import io
import sys
from importlib import import_module

import pytest
from PIL import Image

from tests.demo.reading import FIXTURES, RECORDS

PHOTOS = list(RECORDS["photo"].values())
FOLDER = FIXTURES / "photos"


def _bytes(sha256: str) -> bytes:
    return (FOLDER / f"{sha256}.jpg").read_bytes()


def test_about_three_dozen_of_every_stage():
    assert 34 <= len(PHOTOS) <= 42
    assert {photo["stage"] for photo in PHOTOS} == {
        "before_pins",
        "knots",
        "pins",
        "young",
        "ready",
        "picked",
        "trouble",
    }


@pytest.mark.parametrize("photo", PHOTOS, ids=lambda photo: photo["sha256"][:12])
def test_file_is_what_its_record_says(photo):
    for sha256, width, height in (
        (photo["sha256"], photo["width"], photo["height"]),
        (photo["thumb_sha256"], 320, 240),
    ):
        data = _bytes(sha256)
        assert hashlib.sha256(data).hexdigest() == sha256
        with Image.open(io.BytesIO(data)) as image:
            image.load()
            assert (image.format, image.mode, image.size) == ("JPEG", "RGB", (width, height))


@pytest.mark.parametrize("photo", PHOTOS, ids=lambda photo: photo["sha256"][:12])
def test_file_carries_no_metadata(photo):
    for sha256 in (photo["sha256"], photo["thumb_sha256"]):
        with Image.open(io.BytesIO(_bytes(sha256))) as image:
            assert not image.getexif()
            assert set(image.info) <= {
                "jfif",
                "jfif_version",
                "jfif_unit",
                "jfif_density",
                "progressive",
                "progression",
            }


def test_thumbnail_is_of_its_picture():
    """Made as small, a thumbnail differs on the mean far less from its own picture than from another."""
    pairs = [(_small(photo["sha256"]), _small(photo["thumb_sha256"])) for photo in PHOTOS]
    for k, (large, thumb) in enumerate(pairs):
        assert _difference(large, thumb) < 3
        assert _difference(pairs[k - 1][0], thumb) > 3


def _small(sha256: str) -> bytes:
    with Image.open(io.BytesIO(_bytes(sha256))) as image:
        return image.resize((40, 30), Image.Resampling.BOX).tobytes()


def _difference(one: bytes, other: bytes) -> float:
    return sum(abs(a - b) for a, b in zip(one, other, strict=True)) / len(one)


def test_small_enough_to_ship():
    sizes = [len(_bytes(photo["sha256"])) for photo in PHOTOS]
    assert max(sizes) <= 120_000
    assert sum(file.stat().st_size for file in FOLDER.iterdir()) < 4_000_000


def test_no_file_without_a_record():
    named = {photo[name] for photo in PHOTOS for name in ("sha256", "thumb_sha256")}
    assert {file.name for file in FOLDER.iterdir()} == {f"{sha256}.jpg" for sha256 in named}


def test_pictures_show_a_time_that_fits_their_record():
    for photo in PHOTOS:
        pick = RECORDS["pick"].get(photo["pick"])
        assert (photo["stage"] == "picked") == (pick is not None)
        if pick:
            assert (pick["block"], pick["flush"]) == (photo["block"], photo["flush"])
            assert photo["taken"] > pick["at"]


def test_same_arguments_draw_the_same_picture(monkeypatch):
    monkeypatch.setattr(sys, "path", [str(FIXTURES / "demo"), *sys.path])
    picture = import_module("draw").picture

    def drawn(seed: int) -> bytes:
        return bytes(picture("pleurotus-eryngii", "young", "22222", "tent", seed, width=64).tobytes())

    assert drawn(5) == drawn(5)
    assert drawn(5) != drawn(6)
