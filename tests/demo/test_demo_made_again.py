"""farm.json is what make_demo.py makes: whoever changes the season has to make the farm again."""

import json
import sys
from importlib import import_module

import pytest

from tests.demo.reading import FIXTURES, OPS, TOLD


@pytest.fixture
def make_demo(monkeypatch):
    monkeypatch.setattr(sys, "path", [str(FIXTURES / "demo"), *sys.path])
    return import_module("make_demo")


def test_the_season_is_the_same_each_time(make_demo):
    assert make_demo.season()[0].ops() == make_demo.season()[0].ops()


def test_the_file_is_of_this_season(make_demo):
    diary, photos = make_demo.season()
    kept = {(f["block"], f["stage"], f["taken"]): f for f in (op["fields"] for op in OPS) if "sha256" in f}
    for photo in photos:
        fields = kept[photo.block.row, photo.stage, make_demo.written(photo.taken)]
        size = fields["width"], fields["height"]
        noted = make_demo.noted(photo, fields["sha256"], fields["thumb_sha256"], size)
        diary.add("photo", photo.taken, **noted)
    assert json.loads(json.dumps(make_demo.farm(diary))) == TOLD
