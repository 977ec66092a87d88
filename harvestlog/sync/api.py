"""POST /api/sync/push and GET /api/sync/pull."""

from typing import Annotated
from uuid import UUID

from ninja import Router
from pydantic import Field

from harvestlog.accounts.access import MemberRequest
from harvestlog.accounts.answers import Invalid, Problem
from harvestlog.accounts.refusals import not_allowed
from harvestlog.sync import forms
from harvestlog.sync.chain import Seen
from harvestlog.sync.pull import pull
from harvestlog.sync.push import push

router = Router(tags=["sync"])

# How far the phone knows the farm's history. In the query, so that a server from before this takes the same request.
Head = Annotated[int, Field(ge=0, le=forms.LAST_SEQ)]
Chain = Annotated[str, Field(pattern=forms.CHAIN)]


@router.post(
    "/push",
    response={200: forms.Pushed, 401: Problem, 403: Problem, 413: Problem, 415: Problem, 422: Invalid},
)
def push_operations(
    request: MemberRequest, batch: forms.Push, seen: Head = 0, chain: Chain = ""
) -> forms.Pushed:
    """Takes a phone's operations in its order. Sending one again changes nothing and gets the same answer."""
    if batch.device != request.auth.device:
        raise not_allowed("These records were made on another phone. Sign in again on this one.")
    return push(request.auth, batch, Seen(seen, chain))


@router.get("/pull", response={200: forms.Pulled, 401: Problem, 422: Invalid})
def pull_rows(
    request: MemberRequest,
    epoch: UUID | None = None,
    since: Annotated[int, Field(ge=0, le=forms.LAST_SEQ)] = 0,
    limit: Annotated[int, Field(ge=1, le=forms.MOST_ROWS)] = 500,
    seen: Head = 0,
    chain: Chain = "",
) -> forms.Pulled:
    """The farm's rows that changed after `since`, in the farm's order."""
    return pull(request.auth, epoch, since, limit, Seen(seen, chain))
