"""Links under which a report is shown to whoever holds them: made, taken back, found and counted."""

import logging
import secrets
from datetime import datetime, timedelta
from uuid import UUID

from django.db import DatabaseError, transaction
from django.db.models import F

from harvestlog.accounts.access import Member, owner_under_lock
from harvestlog.accounts.codes import digest
from harvestlog.accounts.deeds import note
from harvestlog.accounts.refusals import Refused, absent
from harvestlog.reports.models import Share
from harvestlog.reports.supplier_report.queries import made_report

# 256 bits: a guesser at a million tries a second would need longer than the sun has left, so tries are not throttled.
TOKEN_BYTES = 32
MOST_SHARES = 100  # of one report
log = logging.getLogger(__name__)


@transaction.atomic
def share_report(*, by: Member, report: UUID, days: int, now: datetime) -> tuple[Share, str]:
    """A new link and its token, which is seen here and never again. Raises Refused (404, 409)."""
    owner_under_lock(by)
    row = made_report(by, report)
    if row.shares.count() >= MOST_SHARES:
        raise Refused(409, "too_many", f"This report has had {MOST_SHARES} links. Make a new report.")
    token = secrets.token_urlsafe(TOKEN_BYTES)
    share = Share.objects.create(
        report=row, token_hash=digest(token), made=now, expires=now + timedelta(days=days)
    )
    note(
        "report_shared",
        farm_id=by.farm_id,
        by=by.person,
        about=share.id,
        report=str(row.uuid),
        expires=share.expires.isoformat(),
    )
    return share, token


@transaction.atomic
def revoke_share(*, by: Member, share: UUID, now: datetime) -> None:
    """Takes a link back, from the next request on; once revoked it stays as it is. Raises Refused (404)."""
    theirs = Share.objects.filter(id=share, report__farm_id=by.farm_id)
    if theirs.filter(revoked=None).update(revoked=now):
        note("share_revoked", farm_id=by.farm_id, by=by.person, about=share)
    elif not theirs.exists():
        raise absent()


def open_share(token: str, now: datetime) -> Share | None:
    """The link behind a token with its report; None alike for a wrong, expired, revoked or deleted one.

    The database compares hashes: how long it takes tells nothing of a token that is nearly right.
    """
    found = Share.objects.select_related("report")
    return found.filter(token_hash=digest(token), revoked=None, expires__gt=now).first()


def count_opening(share: Share, now: datetime) -> None:
    """One opening more. That it cannot be counted (a full disk, say) must not keep anybody from reading."""
    try:
        with transaction.atomic():
            Share.objects.filter(pk=share.pk).update(opened=F("opened") + 1, last_opened=now)
    except DatabaseError as error:
        log.warning("an opening of a shared report was not counted: %s", error)
