"""GET and POST /api/farm/copies."""

from datetime import datetime
from pathlib import Path

from django.db import transaction
from ninja import Router, Schema, Status

from harvestlog.accounts.access import Member, MemberRequest, owner_only, sure_owner
from harvestlog.accounts.answers import REFUSALS, Problem
from harvestlog.accounts.deeds import note
from harvestlog.accounts.models import Farm
from harvestlog.accounts.refusals import Refused, not_allowed
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
    same_disk: bool  # as the records: then a broken disk takes both
    last: LastCopy | None
    kept: int
    running: bool
    trouble: str | None  # why the latest attempt failed


@router.get("", auth=owner_only, response={200: Copies, **REFUSALS})
def show_copies(request: MemberRequest) -> Copies:
    """How the server's copies stand."""
    _refuse_demo(request.auth)
    return _stand(request.auth, places.own_folder())


def _refuse_demo(member: Member) -> None:
    """A copy is one of the whole server: the business of its farms, and of no visitor who looks round."""
    if Farm.objects.get(id=member.farm_id).is_demo:
        raise not_allowed("The demo farm is not backed up. Start your own farm, and its backups stand here.")


def _stand(member: Member, folder: Path | None) -> Copies:
    said = daily.newest()
    last = None
    if said is not None:
        last = LastCopy(
            made=said.made,
            verified=said.verified,
            bytes=said.bytes,
            records=said.records.get(member.farm_id, 0),
            pictures_lost=said.pictures_lost,
        )
    return Copies(
        automatic=folder is not None,
        same_disk=folder is not None and places.on_the_records_disk(folder),
        last=last,
        kept=sum(1 for _ in places.ours_in(folder)) if folder else 0,
        running=daily.desk.running,
        trouble=daily.desk.trouble,
    )


@router.post("", auth=sure_owner, response={202: Copies, 409: Problem, **REFUSALS})
def make_copy(request: MemberRequest) -> Status[Copies]:
    """Begins a copy now; `running` is false again when it is done. It may push an older one out: so the password."""
    _refuse_demo(request.auth)
    folder = places.own_folder()
    if folder is None:
        words = "Copies are switched off on this server. Ask whoever runs it."
        raise Refused(409, "copies_off", words)
    with transaction.atomic():
        note("copy_begun", farm_id=request.auth.farm_id, by=request.auth.person)
        if not daily.desk.begin(places.BY_HAND):
            raise Refused(409, "copy_running", "A copy is being made just now. Look again in a minute.")
    return Status(202, _stand(request.auth, folder))
