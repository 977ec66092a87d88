"""/api/reports: a link to a yield report, and taking it back. An owner's business; who holds one comes by `page`."""

from datetime import datetime
from typing import Annotated, Any
from uuid import UUID

from django.utils import timezone
from ninja import Router, Schema, Status
from pydantic import Field

from harvestlog.accounts.access import MemberRequest, owner_only, sure_owner
from harvestlog.accounts.answers import Invalid, Problem
from harvestlog.accounts.wire import Strict
from harvestlog.reports.shares import links

LONGEST_DAYS, USUAL_DAYS = 365, 30
router = Router(tags=["reports"], auth=owner_only)
REFUSALS: dict[Any, Any] = dict.fromkeys((400, 401, 403, 404, 413, 415), Problem) | {422: Invalid}


class ShareWanted(Strict):
    days: Annotated[int, Field(ge=1, le=LONGEST_DAYS)] = USUAL_DAYS


class NewShare(Schema):
    """The only time the address is seen: afterwards there is nothing but a hash of its token."""

    id: UUID
    address: str
    expires: datetime


@router.post(
    "/supplier-reports/{uuid:report}/shares",
    auth=sure_owner,
    response={201: NewShare, 409: Problem} | REFUSALS,
)
def share(request: MemberRequest, report: UUID, wanted: ShareWanted) -> Status[NewShare]:
    made, token = links.share_report(by=request.auth, report=report, days=wanted.days, now=timezone.now())
    return Status(201, NewShare(id=made.id, address=f"/r/{token}", expires=made.expires))


@router.delete("/shares/{uuid:share}", response={204: None} | REFUSALS)
def revoke(request: MemberRequest, share: UUID) -> Status[None]:
    links.revoke_share(by=request.auth, share=share, now=timezone.now())
    return Status(204, None)
