"""The demo farm goes the way every phone's records go, and its season ends today."""

from datetime import timedelta

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from harvestlog.accounts.models import Farm, Person
from harvestlog.blocks.models import Block, Happening
from harvestlog.harvests.models import Pick
from harvestlog.photos.models import Photo, PhotoFile
from harvestlog.sync.demo import open_demo
from harvestlog.sync.models import Receipt


@pytest.fixture
def demo(db: None) -> Farm:
    return open_demo(Person.objects.create(name="Visitor"))


def test_every_operation_of_the_season_is_applied(demo: Farm) -> None:
    assert demo.seq > 400
    assert Receipt.objects.filter(farm=demo).count() == demo.seq
    assert Block.objects.filter(farm=demo).count() >= 40


def test_the_season_ends_today_and_reaches_no_further(demo: Farm) -> None:
    last = max(Pick.objects.filter(farm=demo).values_list("at", flat=True))
    assert timezone.now() - timedelta(days=3) < last <= timezone.now()


def test_something_is_in_the_soak_right_now(demo: Farm) -> None:
    now = timezone.now()
    assert Happening.objects.filter(farm=demo, what="soaked", at__lte=now, until__gt=now).exists()


def test_every_picture_is_there_with_its_thumbnail(demo: Farm) -> None:
    for photo in Photo.objects.filter(farm=demo):
        for sha256 in (photo.sha256, photo.thumb_sha256):
            assert default_storage.exists(PhotoFile.objects.get(farm=demo, sha256=sha256).name)


def test_two_visitors_have_a_farm_each(demo: Farm) -> None:
    other = open_demo(Person.objects.create(name="Another"))
    assert other.pk != demo.pk
    assert Block.objects.filter(farm=other).count() == Block.objects.filter(farm=demo).count()
