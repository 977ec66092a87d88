"""Whose calendar days are counted: the time zone that whoever asks for figures names."""

from functools import cache
from zoneinfo import ZoneInfo, available_timezones

from harvestlog.accounts.refusals import invalid
from harvestlog.accounts.wire import shown


def zone_named(name: str) -> ZoneInfo:
    """The zone of an IANA name. Raises Refused (422) for any other."""
    if name not in _names():
        raise invalid("zone", f"{shown(name)} is no time zone. Give a name such as Europe/Oslo.")
    return ZoneInfo(name)


@cache
def _names() -> set[str]:
    """Finding them walks a folder of 600 files."""
    return available_timezones()
