"""The secret address of a calendar: made, taken back, found, and its readings counted."""

import logging
import secrets
from datetime import datetime, timedelta
from uuid import UUID

from django.db import DatabaseError, transaction
from django.db.models import QuerySet

from harvestlog.accounts.access import Member
from harvestlog.accounts.codes import digest
from harvestlog.accounts.deeds import note
from harvestlog.accounts.models import Membership
from harvestlog.accounts.refusals import signed_out
from harvestlog.reports.models import CalendarFeed

TOKEN_BYTES = 32  # 256 bits: nobody guesses one, so tries are not throttled
# Writing "last read" at every request would make every read a write.
READ_EVERY = timedelta(hours=1)
NO_PHONE = UUID(int=0)
log = logging.getLogger(__name__)


@transaction.atomic
def make_feed(*, by: Member, zone: str, now: datetime) -> str:
    """The token of a new address, seen here and never again; the former one is dead from now on."""
    membership = Membership.objects.select_for_update().filter(farm_id=by.farm_id, person=by.person).first()
    if membership is None:
        raise signed_out()  # removed since the request began
    token = secrets.token_urlsafe(TOKEN_BYTES)
    own = {"token_hash": digest(token), "zone": zone, "made": now, "last_read": None}
    CalendarFeed.objects.update_or_create(membership=membership, defaults=own)
    note("calendar_made", farm_id=by.farm_id, by=by.person, about=by.person.id)
    return token


@transaction.atomic
def revoke_feed(*, by: Member) -> None:
    """Taking back what is not there is fine."""
    gone, _ = feeds_of(by).delete()
    if gone:
        note("calendar_revoked", farm_id=by.farm_id, by=by.person, about=by.person.id)


def feeds_of(member: Member) -> QuerySet[CalendarFeed]:
    """This person's own in this farm: one, or none."""
    return CalendarFeed.objects.filter(membership__farm_id=member.farm_id, membership__person=member.person)


def open_feed(token: str) -> CalendarFeed | None:
    """The feed behind a token; None alike for a wrong and a revoked one, and for whoever may sign in no more.

    The database compares hashes: how long it takes tells nothing of a token that is nearly right.
    """
    found = CalendarFeed.objects.select_related("membership__person")
    return found.filter(token_hash=digest(token), membership__person__is_active=True).first()


def reader_of(feed: CalendarFeed) -> Member:
    """Whoever made the feed, reading without a phone."""
    membership = feed.membership
    return Member(membership.person, membership.farm_id, membership.role, NO_PHONE)


def count_reading(feed: CalendarFeed, now: datetime) -> None:
    """That it cannot be written (a full disk, say) must not keep a calendar from reading."""
    if feed.last_read is not None and now - feed.last_read < READ_EVERY:
        return
    try:
        with transaction.atomic():
            CalendarFeed.objects.filter(pk=feed.pk).update(last_read=now)
    except DatabaseError as error:
        log.warning("a reading of a calendar was not counted: %s", error)
