"""Whatever is sent as a picture: taken and cleaned, or refused in words; never a fault of the server."""

from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.cast import Cast
from tests.photos.camera import SECRET
from tests.photos.test_api import named
from tests.photos.test_memory import MOST_MB
from tests.security.everything import hash_of
from tests.security.uploads import REFUSED, TAKEN, UPLOADS

MARKS = (
    SECRET.encode(),
    b"script",
    b"passwd",
    b"Exif",
    b"xmpmeta",
    b"ICC_PROFILE",
    b"Photoshop",
    b"Pinhole",
    b"PK\x03\x04",
)


def sent(cast: Cast, what: bytes, kind: str = "image/jpeg") -> Any:
    return cast.owner.phone.put(f"/api/photos/{named(cast.owner, what)}", what, kind)


def test_the_corpus_is_as_large_as_it_should_be() -> None:
    assert len(UPLOADS) >= 25


@pytest.mark.parametrize("name", UPLOADS)
def test_an_upload_is_cleaned_or_refused_in_words(name: str, cast: Cast) -> None:
    status, what = UPLOADS[name]()
    assert len(what) < 3 * 1024 * 1024, "it would be refused by its size alone"
    answer = sent(cast, what)
    assert answer.status_code == status, answer.content
    if status == REFUSED:
        assert answer.json()["code"] in {"not_a_picture", "too_many_pixels"}
        assert cast.owner.phone.get(f"/api/photos/{hash_of(what)}").status_code == 404
        return
    kept = cast.owner.phone.get(f"/api/photos/{hash_of(what)}")
    body = kept.getvalue()
    assert [mark for mark in MARKS if mark in body] == []
    with Image.open(BytesIO(body)) as picture:
        assert (picture.format, picture.mode, getattr(picture, "n_frames", 1)) == ("JPEG", "RGB", 1)
        assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        picture.load()
    assert kept.headers["Content-Type"] == "image/jpeg"
    assert kept.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize("kind", ["image/jpeg", "image/png", "image/webp"])
def test_what_a_picture_says_it_is_makes_no_difference(kind: str, cast: Cast) -> None:
    _, what = UPLOADS["an SVG with a script"]()
    assert sent(cast, what, kind).status_code == REFUSED


@pytest.mark.parametrize(
    "name", ["..%2f..%2fetc%2fpasswd", "%2e%2e/x", "a" * 65, "CON", "x.jpg", "%00", "🍄"]
)
def test_a_name_that_is_no_hash_names_nothing(name: str, cast: Cast) -> None:
    answer = cast.owner.phone.put(f"/api/photos/{name}", UPLOADS["grey"]()[1], "image/jpeg")
    assert answer.status_code == 404


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="only Linux says what the peak was")
def test_the_whole_corpus_takes_less_than_300_mb(tmp_path: Path) -> None:
    import subprocess
    import sys

    program = """
import gc
from harvestlog.photos.pictures import NotAPicture, TooManyPixels, clean
from tests.security.uploads import UPLOADS
sent = [upload() for upload in UPLOADS.values()]
clean(sent[-1][1])
gc.collect()
def peak_kb():
    return next(int(l.split()[1]) for l in open("/proc/self/status") if l.startswith("VmHWM"))
open("/proc/self/clear_refs", "w").write("5")
before = peak_kb()
for _, what in sent:
    try:
        clean(what)
    except (NotAPicture, TooManyPixels):
        pass
print((peak_kb() - before) // 1024)
"""
    ended = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert int(ended.stdout) < MOST_MB


def test_a_taken_picture_is_one_of_every_kind_that_is_said_to_be() -> None:
    assert {status for status, _ in (upload() for upload in UPLOADS.values())} == {TAKEN, REFUSED}
