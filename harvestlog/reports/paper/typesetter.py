"""Sets a template and what is told it as a PDF: tagged (PDF/UA-1), typefaces inside, the same bytes whenever it is set again."""

from collections.abc import Callable
from datetime import datetime
from functools import cache
from pathlib import Path
from threading import BoundedSemaphore
from typing import Any, Literal

FONTS = Path(__file__).with_name("fonts")
# One at a time: a report of 60 blocks takes 0.1 s, but 500 take 0.8 s and 120 MB (measured), which a small server has once.
_desk = BoundedSemaphore(1)


def typeset(
    template: Path, told: dict[str, str], made: datetime, *, folder: str, form: Literal["pdf", "png"] = "pdf"
) -> Any:
    """A template with what is told it: one PDF, or a picture of each page (a list where there are several)."""
    with _desk:
        return _typesetter()(
            template.read_bytes(),
            root=folder,
            format=form,
            sys_inputs=told,
            pdf_standards=["ua-1"] if form == "pdf" else [],
            timestamp=int(made.timestamp()),
        )


@cache
def _typesetter() -> Callable[..., bytes | list[bytes] | None]:
    """Loads 40 MB, so only where a report is wanted."""
    import typst

    faces = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[FONTS])

    def typeset(source: bytes, *, root: str, **how: Any) -> bytes | list[bytes] | None:
        return typst.Compiler(source, root=root, font_paths=faces).compile(**how)

    return typeset
