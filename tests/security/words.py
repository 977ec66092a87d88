"""All that an answer says, read as its receiver could read it: text, tables in a zip, the words of a PDF."""

import zlib
from io import BytesIO
from zipfile import ZipFile

from tests.reports.reported import pdf_text


def said(body: bytes) -> str:
    """Every word in it, and its bytes as they are."""
    words = body.decode("utf-8", "replace")
    if body.startswith(b"PK"):
        with ZipFile(BytesIO(body)) as archive:
            words += " ".join([name + said(archive.read(name)) for name in archive.namelist()])
    if body.startswith(b"%PDF-"):
        words += pdf_text(body) + _streams(body)
    return words


def _streams(pdf: bytes) -> str:
    """What stands beside the pages: titles, file names, descriptions of pictures."""
    found = []
    for part in pdf.split(b"stream\n")[1:]:
        try:
            found.append(zlib.decompressobj().decompress(part))
        except zlib.error:
            continue
    return b" ".join(found).decode("utf-8", "replace")
