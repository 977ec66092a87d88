from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.copies.sites import Hand, Site, new_site


@dataclass
class Kept:
    """A farm with 12 records, two pictures among them, whose server does not run."""

    site: Site
    ada: Hand
    cookie: str

    def backup(self, *words: str, **more: str) -> Path:
        """A fresh copy."""
        before = set(self.site.copies())
        done = self.site.run("backup", *words, **more)
        assert (done.returncode, done.stderr) == (0, "")
        return (set(self.site.copies()) - before).pop()


def a_farm(site: Site) -> Kept:
    served = site.up()
    ada = Hand("Ada").set_up(served)
    for number in range(11):
        ada.add_place(f"Shelf {number}")
    ada.add_photo(7)
    served.stop()
    cookie = next(cookie.value or "" for cookie in ada.line.jar if cookie.name == "sessionid")
    return Kept(site, ada, cookie)


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Site]:
    with new_site(tmp_path / "farm") as made:
        yield made


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kept]:
    """For the tests of a file that leave the farm as it is."""
    with new_site(tmp_path_factory.mktemp("kept") / "farm") as site:
        yield a_farm(site)
