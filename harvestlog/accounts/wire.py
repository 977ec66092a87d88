"""The strict types of everything that crosses the wire: unknown keys, loose types and odd characters are refused."""

import re
import unicodedata
from datetime import UTC, date, datetime
from typing import Annotated, Any
from uuid import UUID

from pydantic import (
    AfterValidator,
    AwareDatetime,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
)
from pydantic import Strict as Exactly

# Stated dates stay as stated, but a year that no calendar on a phone offers is a slip of the finger.
FIRST_YEAR, LAST_YEAR = 1970, 2200

# JSON has no dates and no ids, only text. django-ninja validates parsed JSON as Python objects, where strict types
# would refuse that text; so these three are read from text of exactly one form, and from nothing else.
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


def _day_text(value: Any) -> Any:
    if isinstance(value, date) or (isinstance(value, str) and _DAY.fullmatch(value)):
        return value
    raise ValueError("is no date: write it like 2026-05-01")


def _instant_text(value: Any) -> Any:
    if isinstance(value, datetime) or (isinstance(value, str) and _DAY.match(value) and "T" in value):
        return value
    raise ValueError("is no date with a time: write it like 2026-05-01T07:30:00Z")


def _id_text(value: Any) -> Any:
    if isinstance(value, UUID) or (isinstance(value, str) and _ID.fullmatch(value)):
        return value
    raise ValueError("is no id: write it like 0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1b, in lower case")


def _plain(text: str) -> str:
    for char in text:
        # PostgreSQL cannot keep NUL, UTF-8 cannot write half a surrogate pair, and the rest cannot be seen.
        if unicodedata.category(char) in {"Cc", "Cs"} and char not in "\n\t":
            raise ValueError(f"takes no control character such as {char!r}")
    return text


def _one_line(text: str) -> str:
    if "\n" in text or "\t" in text:
        raise ValueError("takes one line only")
    return text


def _in_range(moment: datetime) -> datetime:
    try:
        moment = moment.astimezone(UTC)
    except OverflowError:
        raise ValueError("is outside the calendar") from None
    _year_in_range(moment)
    return moment


def _year_in_range(day: date) -> date:
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise ValueError(f"has the year {day.year}; give one from {FIRST_YEAR} to {LAST_YEAR}")
    return day


def write_instant(moment: datetime) -> str:
    """RFC 3339 in UTC, with a fraction only where there is one."""
    return moment.astimezone(UTC).isoformat().replace("+00:00", "Z")


def _not_blank(text: str) -> str:
    if not text.strip():
        raise ValueError("is empty: write a name")
    return text


Line = Annotated[str, AfterValidator(_plain), AfterValidator(_one_line)]
Name = Annotated[Line, Field(max_length=80), AfterValidator(_not_blank)]
Note = Annotated[str, Field(max_length=2000), AfterValidator(_plain)]
Day = Annotated[date, Exactly(False), BeforeValidator(_day_text), AfterValidator(_year_in_range)]
Instant = Annotated[
    AwareDatetime,
    Exactly(False),
    BeforeValidator(_instant_text),
    AfterValidator(_in_range),
    PlainSerializer(write_instant, return_type=str, when_used="json"),
]
Sha256 = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
Id = Annotated[UUID, Exactly(False), BeforeValidator(_id_text)]


class Strict(BaseModel):
    """A body that says exactly what it means."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)


def shown(value: object, longest: int = 60) -> str:
    """A value as a person can recognise it, cut where it is long."""
    text = repr(value)
    return text if len(text) <= longest else text[: longest - 1] + "…"
