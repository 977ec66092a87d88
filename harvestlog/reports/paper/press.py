"""Run as a program of its own by `typesetter`: reads a job as JSON from its input, writes the PDF or picture to its output.

The typesetter keeps what it has set for the next ten jobs, up to 80 MB each (measured): in the server that grew to 1 GB.
Here it is gone with the program.
"""

import json
import sys
from typing import Any

import typst


def pressed(job: dict[str, Any]) -> bytes:
    """One file; of a document of several pages there is no one picture, which is a TypeError."""
    faces = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[job.pop("fonts")]
    )
    compiler = typst.Compiler(job.pop("source").encode(), root=job.pop("root"), font_paths=faces)
    found = compiler.compile(**job)
    if not isinstance(found, bytes):
        raise TypeError("more than one page")
    return found


if __name__ == "__main__":
    sys.stdout.buffer.write(pressed(json.load(sys.stdin)))
