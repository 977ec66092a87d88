"""A picture's way to the server and to the farm's other phones."""

import hashlib
from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.db import connection
from django.test.utils import CaptureQueriesContext
from PIL import Image

from harvestlog.accounts.models import Farm
from harvestlog.photos import actions, pictures
from harvestlog.photos.models import PhotoFile
from tests.cast import Actor, Cast
from tests.photos.camera import SECRET, snapshot, top_and_bottom
from tests.sync.farms import phone_of

JPEG = "image/jpeg"


def named(actor: Actor, sent: bytes, thumb: bytes = b"") -> str:
    """Adds a photo record that names these bytes; returns their hash."""
    sha256, thumb_sha256 = (hashlib.sha256(part).hexdigest() for part in (sent, thumb))
    phone = phone_of(actor.member)
    phone.change("add", "photo", str(uuid4()), {
        "block": str(uuid4()), "stage": "pins", "taken": "2026-05-03T07:40:00Z",
        "sha256": sha256, "thumb_sha256": thumb_sha256, "width": 1600, "height": 1200,
    })  # fmt: skip
    assert phone.push()[0]["status"] == "applied"
    return sha256


@pytest.fixture
def small() -> bytes:
    return snapshot(400, 300)


def put(actor: Actor, sha256: str, sent: bytes, kind: str = JPEG) -> Any:
    return actor.phone.put(f"/api/photos/{sha256}", sent, kind)


def test_a_twelve_megapixel_picture_arrives_upright_small_and_clean(cast: Cast) -> None:
    sent = snapshot()
    sha256 = named(cast.owner, sent)
    assert put(cast.owner, sha256, sent).status_code == 201
    answer = cast.viewer.phone.get(f"/api/photos/{sha256}")
    body = answer.getvalue()
    with Image.open(BytesIO(body)) as picture:
        assert max(picture.size) == 1600
        assert top_and_bottom(picture) == ("red", "blue")
        assert not picture.getexif()
    assert SECRET.encode() not in body
    assert answer["Content-Type"] == JPEG


def test_the_answer_names_the_picture(cast: Cast, small: bytes) -> None:
    sha256 = named(cast.owner, small)
    assert [put(cast.owner, sha256, small).json() for _ in range(2)] == [{"sha256": sha256}] * 2


def test_sending_a_picture_again_keeps_one(cast: Cast, small: bytes) -> None:
    sha256 = named(cast.owner, small)
    assert [put(cast.owner, sha256, small).status_code for _ in range(3)] == [201, 200, 200]
    assert PhotoFile.objects.count() == 1


def test_a_thumbnail_is_taken_like_the_picture_it_belongs_to(cast: Cast, small: bytes) -> None:
    named(cast.owner, snapshot(800, 600), thumb=small)
    assert put(cast.owner, hashlib.sha256(small).hexdigest(), small).status_code == 201


def test_a_picture_that_no_record_names_is_not_taken(cast: Cast, small: bytes) -> None:
    answer = put(cast.owner, hashlib.sha256(small).hexdigest(), small)
    assert (answer.status_code, answer.json()["code"]) == (404, "absent")


def test_a_strangers_phone_does_not_see_the_picture(cast: Cast, small: bytes) -> None:
    sha256 = named(cast.owner, small)
    put(cast.owner, sha256, small)
    absent = cast.stranger.phone.get(f"/api/photos/{'0' * 64}")
    hidden = cast.stranger.phone.get(f"/api/photos/{sha256}")
    assert (
        (hidden.status_code, hidden.content) == (absent.status_code, absent.content) == (404, absent.content)
    )


def test_a_picture_damaged_on_the_way_is_refused(cast: Cast, small: bytes) -> None:
    sha256 = named(cast.owner, small)
    answer = put(cast.owner, sha256, small[:-1])
    assert (answer.status_code, answer.json()["code"]) == (422, "hash_differs")
    assert not PhotoFile.objects.exists()


def test_what_is_no_picture_is_refused_in_words(cast: Cast) -> None:
    page = b"<!doctype html><script>alert(1)</script>"
    answer = put(cast.owner, named(cast.owner, page), page)
    assert (answer.status_code, answer.json()["code"]) == (422, "not_a_picture")
    assert "Take it again" in answer.json()["message"]


def test_another_type_is_refused(cast: Cast, small: bytes) -> None:
    answer = put(cast.owner, named(cast.owner, small), small, "image/svg+xml")
    assert answer.status_code == 415


def test_more_than_three_megabytes_are_refused(cast: Cast) -> None:
    large = b"\xff\xd8" + b"x" * (3 * 1024 * 1024)
    assert put(cast.owner, named(cast.owner, large), large).status_code == 413


def test_the_file_on_the_disk_is_the_one_that_was_vouched_for(cast: Cast, small: bytes) -> None:
    put(cast.owner, named(cast.owner, small), small)
    file = PhotoFile.objects.get()
    with default_storage.open(file.name) as kept:
        body = kept.read()
    assert (hashlib.sha256(body).hexdigest(), len(body)) == (file.kept_sha256, file.size)


def test_a_phone_may_keep_a_picture_but_nobody_on_the_way(cast: Cast, small: bytes) -> None:
    sha256 = named(cast.owner, small)
    put(cast.owner, sha256, small)
    assert (
        cast.owner.phone.get(f"/api/photos/{sha256}")["Cache-Control"]
        == "private, max-age=31536000, immutable"
    )


@pytest.fixture
def gone(cast: Cast, small: bytes) -> str:
    """A picture that was kept, and whose file was lost from the disk since."""
    sha256 = named(cast.owner, small)
    put(cast.owner, sha256, small)
    default_storage.delete(PhotoFile.objects.get().name)
    return sha256


def test_a_picture_whose_file_is_lost_is_absent(cast: Cast, gone: str) -> None:
    answer = cast.viewer.phone.get(f"/api/photos/{gone}")
    assert (answer.status_code, answer.json()["code"]) == (404, "absent")


def test_a_picture_whose_file_is_lost_is_kept_anew(cast: Cast, gone: str, small: bytes) -> None:
    assert put(cast.owner, gone, small).status_code == 201
    assert cast.viewer.phone.get(f"/api/photos/{gone}").status_code == 200


def test_a_picture_kept_anew_is_vouched_for_as_it_lies_there_now(cast: Cast, gone: str, small: bytes) -> None:
    PhotoFile.objects.update(kept_sha256="0" * 64, size=1)
    put(cast.owner, gone, small)
    file = PhotoFile.objects.get()
    assert file.size == default_storage.size(file.name)


@pytest.mark.parametrize("name", ["%00", "0" * 63 + "%00", "0" * 63, "0" * 65, "g" * 64, "A" * 64])
@pytest.mark.parametrize("method", ["GET", "PUT"])
def test_what_no_picture_can_be_named_is_absent_and_no_database_is_asked(
    name: str, method: str, cast: Cast, small: bytes
) -> None:
    phone = cast.owner.phone
    phone.token()
    with CaptureQueriesContext(connection) as asked:
        path = f"/api/photos/{name}"
        answer = phone.get(path) if method == "GET" else phone.put(path, small, JPEG)
    assert (answer.status_code, answer.json()["code"]) == (404, "absent")
    assert not [query for query in asked if "photos_" in query["sql"]]


@pytest.fixture
def full(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> str:
    """A demo farm that has all the pictures it may have; the name of one of them."""
    Farm.objects.filter(id=cast.farm.id).update(is_demo=True)
    monkeypatch.setattr(actions, "MOST_DEMO_FILES", 2)
    for side in (32, 48):
        sent = snapshot(side, side)
        assert put(cast.owner, named(cast.owner, sent), sent).status_code == 201
    return hashlib.sha256(snapshot(32, 32)).hexdigest()


@pytest.mark.usefixtures("full")
def test_a_full_demo_farm_takes_no_more_pictures(cast: Cast, small: bytes) -> None:
    answer = put(cast.owner, named(cast.owner, small), small)
    assert (answer.status_code, answer.json()["code"]) == (422, "demo_full")
    assert "keeps 2 pictures" in answer.json()["message"]


def test_a_full_demo_farm_keeps_anew_what_it_lost(cast: Cast, full: str) -> None:
    default_storage.delete(PhotoFile.objects.get(sha256=full).name)
    assert put(cast.owner, full, snapshot(32, 32)).status_code == 201


@pytest.mark.usefixtures("full")
def test_a_farm_of_ones_own_is_never_full(cast: Cast, small: bytes) -> None:
    Farm.objects.filter(id=cast.farm.id).update(is_demo=False)
    assert put(cast.owner, named(cast.owner, small), small).status_code == 201


def test_a_length_that_is_no_number_is_refused(cast: Cast, small: bytes) -> None:
    phone, sha256 = cast.owner.phone, named(cast.owner, small)
    headers = {"X-CSRFToken": phone.token()}
    answer = phone.client.generic(
        "PUT", f"/api/photos/{sha256}", small, JPEG, headers=headers, CONTENT_LENGTH="abc"
    )
    assert (answer.status_code, answer.json()["code"]) == (400, "cut_off")


def test_when_others_are_being_redrawn_the_phone_is_told_to_send_it_again(cast: Cast, small: bytes) -> None:
    sha256 = named(cast.owner, small)
    with pictures._queue, pictures._queue, pictures._queue:
        answer = put(cast.owner, sha256, small)
    assert (answer.status_code, answer.json()["code"]) == (503, "busy")
