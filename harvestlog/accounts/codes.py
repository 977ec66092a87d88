"""One-time codes: how they are made, drawn, tidied as typed by people, and kept only as hashes."""

import hashlib
import secrets

import segno

# Crockford's base 32 (crockford.com/base32.html) leaves out I, L, O and U.
SYMBOLS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
_MISREAD = str.maketrans({"I": "1", "L": "1", "O": "0", " ": None, "-": None, "\u2010": None, "\u2013": None})


def digest(text: str) -> str:
    """SHA-256 in hex. Enough for our codes and session keys: they are random, at least 60 bits."""
    return hashlib.sha256(text.encode()).hexdigest()


def fresh_setup_code() -> str:
    """XXXX-XXXX-XXXX, 12 symbols of 5 bits: 60 bits, read off a console and typed by hand."""
    symbols = "".join(secrets.choice(SYMBOLS) for _ in range(12))
    return "-".join((symbols[:4], symbols[4:8], symbols[8:]))


def tidy_setup_code(typed: str) -> str:
    """The 12 symbols meant by what was typed: any case, with or without dashes, O for 0, I or L for 1."""
    return typed.strip().upper().translate(_MISREAD)


def fresh_link_code() -> str:
    """22 URL-safe characters, 128 bits, carried in the fragment of a link."""
    return secrets.token_urlsafe(16)


def picture_of(address: str) -> str:
    """The address as a QR code: an SVG in a data: address, dark on light in any light."""
    return segno.make(address, micro=False, error="m").svg_data_uri(scale=6, light="#fff", title="")
