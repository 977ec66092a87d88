"""What HARVESTLOG_DATABASE_URL says, for Django's PostgreSQL backend."""

from urllib.parse import SplitResult, parse_qsl, unquote, urlsplit

ENCODE = (
    "HARVESTLOG_DATABASE_URL cannot be read: in a user name or password write / as %2F, # as %23, ? as %3F, "
    "@ as %40, [ as %5B and % as %25"
)


def connection(url: str) -> dict[str, object]:
    """The entry for DATABASES. What follows a ? goes to libpq as it is, for example sslmode=verify-full.

    Raises ValueError with a sentence that never repeats the URL: there is a password in it.
    """
    parts, port = _parts(url)
    return {
        "ENGINE": "django.db.backends.postgresql",
        "NAME": unquote(parts.path.removeprefix("/")),
        "USER": unquote(parts.username or ""),
        "PASSWORD": unquote(parts.password or ""),
        "HOST": unquote(parts.hostname or ""),
        "PORT": str(port or ""),
        "OPTIONS": dict(parse_qsl(parts.query, keep_blank_values=True)),
    }


def _parts(url: str) -> tuple[SplitResult, int | None]:
    scheme, found, _ = url.partition("://")
    if not found or scheme not in {"postgresql", "postgres"}:
        raise ValueError("HARVESTLOG_DATABASE_URL is no address of PostgreSQL; write postgresql://…")
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError:
        raise ValueError(ENCODE) from None
    # The end of a password that was cut in two: urlsplit takes / ? and # for the end of the host.
    if parts.fragment or "#" in url or "@" in parts.path + parts.query:
        raise ValueError(ENCODE)
    return parts, port
