"""Half-written files go after two days, pictures that nothing names after 90; nothing else does."""

import os
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.db import connection
from django.utils import timezone

from harvestlog.accounts.models import Farm
from harvestlog.photos import sweep as sweeping
from harvestlog.photos.actions import keep_own_picture
from harvestlog.photos.models import Photo, PhotoFile
from harvestlog.photos.queries import is_named
from harvestlog.photos.sweep import HALF_WRITTEN, UNNAMED, sweep
from tests.cast import Cast, Clock
from tests.copies.sites import picture
from tests.sync.farms import phone_of

SHA256 = "ab" * 32
NAME = f"{SHA256}.jpg"
LONG = timedelta(days=400)
MINUTE = timedelta(minutes=1)
PICTURE = picture(7, 16)

pytestmark = pytest.mark.django_db


def left_over(cast: Cast, name: str = NAME, age: timedelta = LONG, bytes_: bytes = b"left over") -> Path:
    """A file of the farm's folder that no row names, last written so long ago."""
    path = Path(default_storage.path(f"{cast.owner.farm.id}/{name[:2]}/{name}"))
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(bytes_)
    at = (timezone.now() - age).timestamp()
    os.utime(path, (at, at))
    return path


def a_record_names(cast: Cast, sha256: str) -> None:
    phone = phone_of(cast.owner.member)
    fields = {
        "block": str(uuid4()), "stage": "pins", "taken": "2026-05-03T07:40:00Z", "width": 64, "height": 48,
        "sha256": sha256, "thumb_sha256": "cd" * 32,
    }  # fmt: skip
    phone.change("add", "photo", str(uuid4()), fields)
    phone.push()
    assert phone.parked == []


@pytest.fixture(autouse=True)
def _no_other_pictures(settings: Any, tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    options = settings.STORAGES["default"] | {"OPTIONS": {"location": tmp_path / "photos"}}
    settings.STORAGES = settings.STORAGES | {"default": options}


class TestHalfWritten:
    def test_it_goes_after_two_days(self, cast: Cast) -> None:
        path = left_over(cast, ".coming-x1y2z3", HALF_WRITTEN + MINUTE)
        assert sweep() == 1
        assert not path.exists()

    def test_a_younger_one_stays(self, cast: Cast) -> None:
        path = left_over(cast, ".coming-x1y2z3", HALF_WRITTEN - MINUTE)
        assert sweep() == 0
        assert path.exists()

    def test_one_that_gets_its_name_meanwhile_stops_nothing(
        self, cast: Cast, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        path, other = left_over(cast, ".coming-x1y2z3"), left_over(cast, ".coming-a1b2c3")
        is_file = Path.is_file

        def named_meanwhile(self: Path) -> bool:
            found = is_file(self)
            if self == path:
                path.rename(path.with_name(NAME))
            return found

        monkeypatch.setattr(Path, "is_file", named_meanwhile)
        assert sweep() == 1
        assert not other.exists()


class TestAPictureThatNothingNames:
    def test_it_waits_90_days_from_when_that_was_first_seen_however_old_it_is(
        self, cast: Cast, clock: Clock
    ) -> None:
        path = left_over(cast)
        sweep()
        clock.forward(UNNAMED - MINUTE)
        assert (sweep(), path.exists()) == (0, True)
        clock.forward(MINUTE)
        assert (sweep(), path.exists()) == (1, False)

    def test_its_wait_begins_anew_when_its_own_database_was_there_meanwhile(
        self, cast: Cast, clock: Clock
    ) -> None:
        path = left_over(cast)
        sweep()
        row = PhotoFile.objects.create(
            farm=cast.farm, sha256=SHA256, kept_sha256=SHA256, size=9, name=f"{cast.farm.id}/ab/{NAME}"
        )
        clock.forward(UNNAMED / 2)
        sweep()
        row.delete()
        clock.forward(UNNAMED / 2)
        assert (sweep(), path.exists()) == (0, True)

    def test_a_list_of_waits_that_cannot_be_read_begins_anew(self, cast: Cast, clock: Clock) -> None:
        path = left_over(cast)
        sweep()
        Path(default_storage.path(".unnamed.json")).write_text('{"x": 3}')
        clock.forward(UNNAMED)
        assert (sweep(), path.exists()) == (0, True)

    def test_it_stays_where_there_is_no_farm_at_all(self, cast: Cast, clock: Clock) -> None:
        path, half = left_over(cast), left_over(cast, ".coming-x1y2z3")
        Farm.objects.all().delete()  # as in a new database beside an old folder
        sweep()
        clock.forward(UNNAMED)
        assert (sweep(), path.exists(), half.exists()) == (0, True, True)

    def test_one_that_arrives_while_its_old_file_is_swept_stays(
        self, cast: Cast, clock: Clock, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        path = left_over(cast)
        sweep()
        clock.forward(UNNAMED)
        rename = Path.rename

        def arriving(self: Path, target: Path) -> Path:
            if self == path:
                path.write_bytes(b"just sent")
                os.utime(path, (clock.moment.timestamp(),) * 2)  # now it is young
            return rename(self, target)

        monkeypatch.setattr(Path, "rename", arriving)
        sweep()
        assert path.read_bytes() == b"just sent"


class TestAPictureThatIsNamed:
    def test_with_a_row_it_stays_however_old_it_is(self, cast: Cast, clock: Clock) -> None:
        kept = keep_own_picture(farm=cast.owner.farm.id, sha256=SHA256, picture=b"a picture")
        path = Path(default_storage.path(kept.name))
        os.utime(path, (0, 0))
        sweep()
        clock.forward(UNNAMED)
        sweep()
        assert path.read_bytes() == b"a picture"

    def test_by_a_record_alone_it_is_taken_back_and_is_in_the_copies_again(
        self, cast: Cast, clock: Clock
    ) -> None:
        path = left_over(cast, bytes_=PICTURE)
        a_record_names(cast, SHA256)
        sweep()
        assert PhotoFile.objects.get(farm=cast.farm, sha256=SHA256).size == path.stat().st_size

    def test_by_a_record_alone_and_damaged_it_stays_and_is_not_vouched_for(
        self, cast: Cast, clock: Clock
    ) -> None:
        path = left_over(cast, bytes_=PICTURE[:-9])
        a_record_names(cast, SHA256)
        sweep()
        clock.forward(UNNAMED)
        sweep()
        assert path.exists()
        assert not PhotoFile.objects.exists()

    def test_whoever_asks_for_it_gets_it_back(self, cast: Cast) -> None:
        left_over(cast, bytes_=PICTURE)
        assert cast.owner.phone.get(f"/api/photos/{SHA256}").status_code == 404
        a_record_names(cast, SHA256)
        answer = cast.owner.phone.get(f"/api/photos/{SHA256}")
        assert (answer.status_code, answer.getvalue()) == (200, PICTURE)
        assert cast.stranger.phone.get(f"/api/photos/{SHA256}").status_code == 404

    def test_half_a_picture_is_not_handed_out(self, cast: Cast) -> None:
        left_over(cast, bytes_=PICTURE[:-9])
        a_record_names(cast, SHA256)
        assert cast.owner.phone.get(f"/api/photos/{SHA256}").status_code == 404

    def test_a_sweep_that_is_at_it_lets_go_of_one_that_is_taken_back(
        self, cast: Cast, clock: Clock, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        path = left_over(cast, bytes_=PICTURE)
        sweep()
        clock.forward(UNNAMED)
        remove = sweeping._remove

        def asked_for(path: Path, young: object) -> int:
            a_record_names(cast, SHA256)
            assert cast.owner.phone.get(f"/api/photos/{SHA256}").status_code == 200
            os.utime(path, (clock.moment.timestamp(),) * 2)  # the disk's clock went with the test's
            return remove(path, young)  # type: ignore[arg-type]

        monkeypatch.setattr(sweeping, "_remove", asked_for)
        assert sweep() == 0
        assert path.exists()


@pytest.fixture
def a_season_of_photos(cast: Cast) -> None:
    """Enough for a database to look for a way round reading them all."""
    same = {"farm": cast.farm, "block": uuid4(), "taken": timezone.now(), "width": 1, "height": 1}
    Photo.objects.bulk_create(
        Photo(uuid=uuid4(), seq=number, sha256=f"{number:064x}", thumb_sha256=f"{-number:064x}", **same)
        for number in range(1, 2001)
    )
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE photos_photo")


@pytest.mark.usefixtures("a_season_of_photos")
@pytest.mark.parametrize("index", ["photo_by_sha256", "photo_by_thumb_sha256"])
def test_whether_a_picture_is_named_is_looked_up_and_not_searched_for(
    cast: Cast, index: str, django_assert_num_queries: Any
) -> None:
    member = cast.owner.member
    with django_assert_num_queries(2) as asked:
        assert not is_named(member, SHA256)
    how = "EXPLAIN QUERY PLAN" if connection.vendor == "sqlite" else "EXPLAIN"
    plans = []
    with connection.cursor() as cursor:
        for question in asked.captured_queries:
            cursor.execute(f"{how} {question['sql']}")
            plans.append(str(cursor.fetchall()))
    assert sum(index in plan for plan in plans) == 1
