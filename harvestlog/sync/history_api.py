"""GET /api/sync/history/{kind}/{uuid}: what was changed of one record, for every member of its farm."""

from datetime import datetime
from typing import Annotated, Any
from uuid import UUID

from ninja import Router, Schema
from pydantic import Field

from harvestlog.accounts.access import Member, MemberRequest, may_see_people
from harvestlog.accounts.answers import Invalid, Problem
from harvestlog.sync.forms import LAST_SEQ
from harvestlog.sync.history import MOST_CHANGES, history, unseen
from harvestlog.sync.models import Change

router = Router(tags=["sync"])


class ChangedBy(Schema):
    """`you`: the person who asks."""

    name: str
    you: bool


class ChangeTold(Schema):
    """One change. `at` is the phone's word on when, `received` the server's; `seq` is the order that counts.

    `phone`: its name, for owners, and for whoever it belongs to; phones are nobody else's business.
    `lost`: what this change said and another phone's later one outlived; `after` has there what stood instead.
    `unseen`: fields whose value before came from another phone and was not known to whoever made this change.
    """

    seq: int
    at: datetime
    received: datetime | None
    verb: str
    by: ChangedBy | None
    phone: str
    before: dict[str, Any]
    after: dict[str, Any]
    lost: dict[str, Any]
    unseen: list[str]


class HistoryTold(Schema):
    """Newest first. `more`: there are older ones, to be asked for with `before`, the smallest seq of these."""

    changes: list[ChangeTold]
    more: bool


@router.get("/history/{kind}/{row}", response={200: HistoryTold, 401: Problem, 404: Problem, 422: Invalid})
def history_of_record(
    request: MemberRequest,
    kind: str,
    row: UUID,
    before: Annotated[int, Field(ge=1, le=LAST_SEQ)] | None = None,
    limit: Annotated[int, Field(ge=1, le=MOST_CHANGES)] = MOST_CHANGES,
) -> HistoryTold:
    """Every change of a record, deleted or not, newest first: what was before, what then stood, and what lost."""
    changes, more = history(request.auth, kind, row, before, limit)
    replaced = unseen(request.auth, row)
    told = [_told(change, replaced.get(change.seq, []), request.auth) for change in changes]
    return HistoryTold(changes=told, more=more)


def _told(change: Any, fields_unseen: list[str], member: Member) -> ChangeTold:
    by = _by(change, member.person.pk)
    named = may_see_people(member) or (by is not None and by.you)
    return ChangeTold(
        seq=change.seq,
        at=change.at,
        received=change.received,
        verb=change.verb,
        by=by,
        phone=(change.phone_name or "") if named else "",
        before=change.before,
        after=change.after,
        lost=change.lost,
        unseen=fields_unseen,
    )


def _by(change: Change, asking: UUID) -> ChangedBy | None:
    """None where the person's account is gone."""
    if change.person is None:
        return None
    return ChangedBy(name=change.person.name, you=change.person.pk == asking)
