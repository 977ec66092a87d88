"""The main job, in a shed with no signal: a real Chromium at phone size, a real server that is killed."""

import re
import sqlite3
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import Grower
from tests.photos.camera import SECRET, snapshot, top_and_bottom


@pytest.fixture(scope="session")
def camera_picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """12 megapixels, turned by EXIF, with the position inside."""
    path = tmp_path_factory.mktemp("camera") / "DSC_0042.jpg"
    path.write_bytes(snapshot())
    return path


def on_the_server(shed: Shed, question: str) -> list[tuple[Any, ...]]:
    with sqlite3.connect(f"file:{shed.folder / 'harvestlog.sqlite3'}?mode=ro", uri=True) as database:
        return database.execute(question).fetchall()


def weighs_a_pick(grower: Grower, label: str, picture: Path) -> None:
    grower.opens_block(label).taps("Weigh").presses("340").takes_a_photo(picture)
    grower.taps("Dried").presses("31").saves().sees("Weigh next")


def test_a_harvest_logged_with_no_signal_arrives_exactly_once(
    shed: Shed, new_phone: NewPhone, camera_picture: Path
) -> None:
    olga = Grower(new_phone())
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code).is_ready_for_no_signal()
    shed.kill()

    olga.phone.close()
    olga.phone.open()  # cold start, from the cache
    olga.sees("Write down a delivery")
    label, _ = olga.writes_down_a_delivery(blocks=2)
    weighs_a_pick(olga, label, camera_picture)
    olga.phone.kill()
    olga.phone.open()
    olga.opens_block(label).sees(re.compile(r"\b340\s*g")).sees(re.compile(r"\b31\s*g"))
    olga.reads_on_the_strip(
        "7 and 2 pictures on this phone"
    )  # supplier, variety, delivery, two blocks, pick, photo
    before = olga.records()

    shed.start()
    olga.tries_now().has_sent_everything()
    assert on_the_server(shed, "select wet_g, dry_g, typed from harvests_pick") == [(340.0, 31.0, "340 g")]
    assert on_the_server(shed, "select count(*) from blocks_block") == [(2,)]
    assert on_the_server(shed, "select count(*) from sync_receipt") == [(len(before["outbox"]),)]
    (files,) = on_the_server(shed, "select count(*) from photos_photofile")
    assert files == (2,)

    second = Grower(new_phone())
    second.phone.open()
    second.signs_in()
    second.opens_block(label).sees(re.compile(r"\b340\s*g"))
    shown = second.page.locator("img").first
    shown.wait_for()
    assert shown.evaluate(
        "picture => picture.decode().then(() => picture.naturalHeight > picture.naturalWidth)"
    )

    stranger = Grower(new_phone())
    stranger.phone.open()
    stranger.page.get_by_label("E-mail").or_(
        stranger.page.get_by_role("button", name=re.compile("sign in", re.I))
    ).first.wait_for()
    status = stranger.page.evaluate("() => fetch('/api/sync/pull').then((answer) => answer.status)")
    assert status == 401


def test_a_picture_reaches_the_server_upright_small_and_without_its_place(
    shed: Shed, new_phone: NewPhone, camera_picture: Path
) -> None:
    olga = Grower(new_phone())
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code)
    (label,) = olga.writes_down_a_delivery(blocks=1)
    weighs_a_pick(olga, label, camera_picture)
    olga.taps(re.compile("^See")).has_sent_everything()
    kept = [path.read_bytes() for path in (shed.folder / "photos").rglob("*.jpg")]
    sizes = []
    for body in kept:
        with Image.open(BytesIO(body)) as picture:
            sizes.append(max(picture.size))
            assert top_and_bottom(picture) == ("red", "blue")
            assert not picture.getexif()
        assert SECRET.encode() not in body
    assert sorted(sizes) == [320, 1600]
