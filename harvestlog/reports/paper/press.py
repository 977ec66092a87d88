"""Run as a program of its own by `typesetter`: reads a job as JSON from its input, writes the PDF or picture to its output.

A job with `letters` is a question: which of them the typefaces can show. The answer is text.

The typesetter keeps what it has set for the next ten jobs, up to 80 MB each (measured): in the server that grew to 1 GB.
Here it is gone with the program.
"""

import json
import sys
from typing import Any

import typst

MOST_TRIALS = 100  # at 5 to 10 ms each (measured)
# Nothing but the letters: PDF/UA refuses a document with one that no typeface has. Without a typeface that is there to
# begin with, they would be left out in silence.
TRIAL = b"""
#set document(title: "letters")
#set text(font: "Atkinson Hyperlegible")
#sys.inputs.letters
"""


def pressed(job: dict[str, Any]) -> bytes:
    """One file; of a document of several pages there is no one picture, which is a TypeError."""
    faces = typst.Fonts(
        include_system_fonts=job.pop("machine_fonts"),
        include_embedded_fonts=False,
        font_paths=[job.pop("fonts")],
    )
    if "letters" in job:
        return shown(job["letters"], faces).encode()
    compiler = typst.Compiler(job.pop("source").encode(), root=job.pop("root"), font_paths=faces)
    found = compiler.compile(**job)
    if not isinstance(found, bytes):
        raise TypeError("more than one page")
    return found


def shown(letters: str, faces: typst.Fonts) -> str:
    """Those of the letters that the typefaces have: all are tried at once, and where one is lacking, each half by itself.

    What MOST_TRIALS leave unsettled counts as lacking.
    """
    found, waiting = "", [letters]
    for _ in range(MOST_TRIALS):
        if not waiting:
            break
        some = waiting.pop(0)
        if _shows(some, faces):
            found += some
        elif len(some) > 1:
            half = len(some) // 2
            waiting += [some[:half], some[half:]]
    return found


def _shows(letters: str, faces: typst.Fonts) -> bool:
    try:
        trial = typst.Compiler(TRIAL, font_paths=faces)
        trial.compile(format="pdf", sys_inputs={"letters": letters}, pdf_standards=["ua-1"])
    except typst.TypstError:
        return False
    return True


if __name__ == "__main__":
    sys.stdout.buffer.write(pressed(json.load(sys.stdin)))
