"""/api/reports/calendar: the secret address of what falls due; and /c/<token>.ics, which calendars read without signing in."""

from datetime import datetime
from hashlib import sha256
from typing import Any
from zoneinfo import ZoneInfo

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified
from django.utils import timezone
from django.views.decorators.http import require_safe
from ninja import Router, Schema, Status

from harvestlog.accounts.access import MemberRequest
from harvestlog.accounts.answers import Invalid, Problem
from harvestlog.accounts.wire import Line, Strict
from harvestlog.reports.calendar.due import coming
from harvestlog.reports.calendar.feeds import (
    count_reading,
    feeds_of,
    make_feed,
    open_feed,
    reader_of,
    revoke_feed,
)
from harvestlog.reports.calendar.file import calendar_file
from harvestlog.reports.zones import zone_named

router = Router(tags=["reports"])
REFUSALS: dict[Any, Any] = dict.fromkeys((400, 401, 403, 413, 415), Problem) | {422: Invalid}


class CalendarWanted(Strict):
    zone: Line = "UTC"


class NewCalendar(Schema):
    """The only time the address is seen: afterwards there is nothing but a hash of its token."""

    address: str


class CalendarMade(Schema):
    made: datetime | None = None
    last_read: datetime | None = None
    zone: str | None = None


@router.post("/calendar", response={201: NewCalendar} | REFUSALS)
def make(request: MemberRequest, wanted: CalendarWanted) -> Status[NewCalendar]:
    """A new address for this person; the former one stops at once. `zone`: whose days are counted."""
    zone_named(wanted.zone)
    token = make_feed(by=request.auth, zone=wanted.zone, now=timezone.now())
    return Status(201, NewCalendar(address=f"/c/{token}.ics"))


@router.get("/calendar", response={200: CalendarMade, 401: Problem})
def show(request: MemberRequest) -> CalendarMade:
    """When the address was made and last read; nulls where there is none."""
    feed = feeds_of(request.auth).first()
    return CalendarMade(made=feed.made, last_read=feed.last_read, zone=feed.zone) if feed else CalendarMade()


@router.delete("/calendar", response={204: None} | REFUSALS)
def revoke(request: MemberRequest) -> Status[None]:
    """Twice is fine."""
    revoke_feed(by=request.auth)
    return Status(204, None)


@require_safe
def read_calendar(request: HttpRequest, token: str) -> HttpResponse:
    """What falls due on the farm, for whoever holds the address. Raises Http404 for a wrong or revoked one."""
    feed = open_feed(token)
    if feed is None:
        raise Http404
    now = timezone.now()
    # Written on every entry: the day and not the moment, so that what is unchanged is the same to the byte.
    today = now.replace(hour=0, minute=0, second=0, microsecond=0)
    things = coming(reader_of(feed), now, ZoneInfo(feed.zone))
    written = calendar_file(things, today, f"{request.scheme}://{request.get_host()}")
    count_reading(feed, now)
    mark = f'"{sha256(written).hexdigest()}"'
    known = request.headers.get("If-None-Match", "")
    response = HttpResponseNotModified() if mark in known else _calendar(written)
    response.headers["ETag"] = mark
    response.headers["Cache-Control"] = "no-store, private"
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    return response


def _calendar(written: bytes) -> HttpResponse:
    headers = {"Content-Disposition": 'inline; filename="harvestlog.ics"'}
    return HttpResponse(written, content_type="text/calendar; charset=utf-8", headers=headers)
