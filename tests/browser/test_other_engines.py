"""The main job in the engines of other phones: Firefox, and WebKit, which every browser on an iPhone runs on."""

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any, Self

import pytest
from PIL import Image

from tests.browser.conftest import Shed
from tests.browser.engines import Tell, eventually, lacking, opened
from tests.browser.grower import OLGA
from tests.photos.camera import snapshot, top_and_bottom

TAPPED = """
  const named = [...document.querySelectorAll("button, a")].find((one) =>
    one.getClientRects().length && new RegExp(arguments[0]).test(one.getAttribute("aria-label") ?? one.innerText));
  return named ?? null;
"""
FIELD = """
  const label = [...document.querySelectorAll("label")].find((one) => one.innerText.trim().startsWith(arguments[0]));
  return label?.control ?? null;
"""
CHOSEN = """
  const [field, words] = arguments;
  field.value = [...field.options].find(({ text }) => text === words).value;
  field.dispatchEvent(new Event("change", { bubbles: true }));
"""
PHOTO = "return document.querySelector('input[type=file]')"
READS = "return new RegExp(arguments[0]).test(document.body.innerText)"
CONTROLLED = "return navigator.serviceWorker.controller?.state === 'activated'"


@dataclass
class Grower:
    """As in grower.py, by the words on the screen."""

    tell: Tell

    def run(self, script: str, *given: Any) -> Any:
        return self.tell("ExecuteScript", script=script, args=given)

    def sees(self, words: str) -> Self:
        eventually(lambda: self.run(READS, words))
        return self

    def taps(self, *names: str) -> Self:
        for name in names:
            # What is drawn anew between the look and the tap is looked for again.
            eventually(lambda name=name: self._tap(self.run(TAPPED, name)))  # type: ignore[misc]
        return self

    def _tap(self, found: dict[str, str] | None) -> bool:
        if found:
            self.tell("ElementClick", id=_name_of(found))
        return found is not None

    def fills(self, label: str, text: str) -> Self:
        self.tell("ElementSendKeys", id=_name_of(eventually(lambda: self.run(FIELD, label))), text=text)
        return self

    def chooses(self, label: str, words: str) -> Self:
        self.run(CHOSEN, eventually(lambda: self.run(FIELD, label)), words)
        return self

    def takes_a_photo(self, picture: Path) -> Self:
        self.tell("ElementSendKeys", id=_name_of(eventually(lambda: self.run(PHOTO))), text=str(picture))
        return self.sees("taken; take another")

    def reloads(self) -> Self:
        """As its user would: WebDriver's own reload goes past the service worker in Firefox."""
        self.run("window.former = true; location.reload()")
        eventually(lambda: self.run("return !window.former"))
        return self


def _name_of(element: dict[str, str]) -> str:
    """WebDriver gives an element as its name under a key of its own."""
    (name,) = element.values()
    return name


@pytest.fixture(params=["firefox", "webkit"])
def olga(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Grower]:
    if reason := lacking(request.param):
        pytest.skip(reason)
    with opened(request.param, tmp_path / request.param) as tell:
        yield Grower(tell)


def starts_a_farm(olga: Grower, shed: Shed) -> None:
    olga.tell("Navigate", url=shed.url)
    olga.taps("^Start my farm")
    # The heading takes the focus once the form is drawn: nobody types before that.
    eventually(lambda: olga.run("return document.activeElement.tagName === 'H1'"))
    olga.fills("Set-up code", shed.setup_code).fills("Name of the farm", "Alder Yard")
    olga.fills("Your name", OLGA["name"]).fills("E-mail", OLGA["email"]).fills("Password", OLGA["password"])
    olga.taps("^Start$").sees("Write down a delivery")
    eventually(lambda: olga.run(CONTROLLED))


def writes_down_a_delivery(olga: Grower) -> None:
    olga.taps("^Write down a delivery").fills("Supplier", "Three Larches")
    olga.chooses("Species", "Oyster (Pleurotus ostreatus)").fills("Your name for it", "Grey oyster")
    olga.fills("How many blocks", "1").fills("Wet mass of each", "3 kg")
    olga.taps("^Save").sees("Write each label on its block")


def test_a_pick_weighed_with_no_signal_outlives_a_reload_and_is_sent(
    olga: Grower, shed: Shed, tmp_path: Path
) -> None:
    picture = tmp_path / "DSC_0042.jpg"
    picture.write_bytes(snapshot())
    starts_a_farm(olga, shed)
    shed.kill()
    writes_down_a_delivery(olga)
    olga.taps("^Written on the blocks", "Grey oyster", "^Weigh", "^3$", "^4$", "^0$").takes_a_photo(picture)
    olga.taps("^Save", "^See the block").reloads().sees(r"\b340\s*g").sees("2 pictures on this phone")

    shed.start()
    olga.taps("pictures on this phone", "^Try now").sees("All sent")
    with sqlite3.connect(f"file:{shed.folder / 'harvestlog.sqlite3'}?mode=ro", uri=True) as database:
        assert database.execute("select wet_g from harvests_pick").fetchall() == [(340.0,)]
    kept = [path.read_bytes() for path in (shed.folder / "photos").rglob("*.jpg")]
    assert [top_and_bottom(Image.open(BytesIO(body))) for body in kept] == [("red", "blue")] * 2
