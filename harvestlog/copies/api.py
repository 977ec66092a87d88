"""GET and POST /api/farm/copies."""

from datetime import datetime

from django.db import transaction
from ninja import Router, Schema, Status

from harvestlog.accounts.access import MemberRequest, owner_only
from harvestlog.accounts.answers import REFUSALS, Problem
from harvestlog.accounts.deeds import note
from harvestlog.accounts.refusals import Refused
from harvestlog.copies import daily, places

router = Router(tags=["copies"])


class LastCopy(Schema):
    made: datetime
    verified: datetime  # when it was read back
    bytes: int
    records: int  # of this farm
    pictures_lost: int  # of the whole server, missing or damaged before the copy was made


class Copies(Schema):
    """Never where they lie: that is the business of whoever runs the server."""

    automatic: bool
    last: LastCopy | None
    kept: int
    running: bool
    trouble: str | None  # why the latest attempt failed


@router.get("", auth=owner_only, response={200: Copies, **REFUSALS})
def show_copies(request: MemberRequest) -> Copies:
    """How the server's copies stand."""
    folder, said = places.own_folder(), daily.newest()
    last = None
    if said is not None:
        farm = said.facts.farms.get(str(request.auth.farm_id))
        last = LastCopy(
            made=said.made,
            verified=said.verified or said.made,
            bytes=said.size,
            records=farm.records if farm else 0,
            pictures_lost=len(said.lost),
        )
    return Copies(
        automatic=folder is not None,
        last=last,
        kept=len(places.copies_in(folder)) if folder else 0,
        running=daily.desk.running,
        trouble=daily.desk.trouble,
    )


@router.post("", auth=owner_only, response={202: Copies, 409: Problem, **REFUSALS})
def make_copy(request: MemberRequest) -> Status[Copies]:
    """Begins a copy now; `running` is false again when it is done."""
    if places.own_folder() is None:
        words = "Copies are switched off on this server. Ask whoever runs it."
        raise Refused(409, "copies_off", words)
    with transaction.atomic():
        note("copy_begun", farm_id=request.auth.farm_id, by=request.auth.person)
        if not daily.desk.begin(places.BY_HAND):
            raise Refused(409, "copy_running", "A copy is being made just now. Look again in a minute.")
    return Status(202, show_copies(request))
