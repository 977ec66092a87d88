"""The yield report as one page that needs nothing else: no script, no address outside, pictures inside."""

import hashlib
from base64 import b64encode
from dataclasses import asdict
from pathlib import Path
from typing import Any

from django.template import Context, Engine
from django.utils.safestring import mark_safe

from harvestlog.reports.supplier_report.sheet import Sheet
from harvestlog.reports.wording import each_text, straight

_HERE = Path(__file__).parent
_STYLE = (_HERE / "page.css").read_text(encoding="utf-8")
_ENGINE = Engine(dirs=[str(_HERE)], autoescape=True)
# The hash names this one style sheet; a style in anything a person typed stays without effect.
_POLICY = "; ".join(
    (
        "default-src 'none'",
        f"style-src 'sha256-{b64encode(hashlib.sha256(_STYLE.encode()).digest()).decode()}'",
        "img-src data:",
        "base-uri 'none'",
        "form-action 'none'",
    )
)
POLICY = f"{_POLICY}; frame-ancestors 'none'"  # which the page itself cannot say, only a header


def report_page(sheet: Sheet, pictures: dict[str, bytes], files: str = "") -> bytes:
    """`files`: address of report.pdf and report.zip, "" where the page is a file by itself."""
    told: dict[str, Any] = each_text(asdict(sheet), straight)
    for picture in told["pictures"]:
        kept = pictures.get(picture["sha256"])
        picture["data"] = b64encode(kept).decode() if kept else ""
    return _page("page.html", {"sheet": told, "files": files})


def gone_page() -> bytes:
    """What every link that leads nowhere shows; nothing in it depends on why."""
    return _page("gone.html", {})


def _page(name: str, told: dict[str, Any]) -> bytes:
    ours = {"style": mark_safe(_STYLE), "policy": _POLICY}  # noqa: S308  # our own file, and nothing of anybody's in it
    return _ENGINE.get_template(name).render(Context(told | ours)).encode()
