"""Values that were taken and then replaced by somebody who had not seen them: their writers are to be told."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from harvestlog.accounts.access import Member, of_farm
from harvestlog.sync.kinds import KINDS
from harvestlog.sync.merge import Stamp
from harvestlog.sync.models import Change, Outvoted


def remember(change: Change, replaced: Mapping[str, Stamp]) -> None:
    """Of a change about to be saved: the fields in which it took the place of what its writer had not seen."""
    by_op: defaultdict[str, dict[str, Any]] = defaultdict(dict)
    for name, theirs in replaced.items():
        if change.before[name] != change.after[name]:
            by_op[theirs.op][name] = change.before[name]
    for op, fields in by_op.items():
        first = Change.objects.filter(farm=change.farm, row=change.row, op=op).first()
        if first is None or first.person is None:
            continue
        Outvoted.objects.create(
            farm=change.farm, seq=change.seq, op=op, kind=change.kind, row=change.row,
            person=first.person, device=first.device, at=first.at, fields=fields,
        )  # fmt: skip


def to_tell(member: Member, since: int, upto: int) -> Sequence[Outvoted]:
    """What this phone wrote and lost after `since`, up to `upto`; nothing of what it has written again since.

    A phone that reads from the start has written nothing yet, or was told before.
    """
    if since == 0:
        return []
    found = of_farm(Outvoted.objects, member).filter(
        person=member.person, device=member.device, seq__gt=since, seq__lte=upto
    )
    told = list(found.order_by("seq"))
    for each in told:
        each.fields = _not_mine_again(each, str(member.phone_id or member.device))
    return [each for each in told if each.fields]


def _not_mine_again(outvoted: Outvoted, phone: str) -> dict[str, Any]:
    rows = KINDS[outvoted.kind].model._default_manager.filter(farm=outvoted.farm_id, uuid=outvoted.row)
    stamps = rows.values_list("stamps", flat=True).first() or {}
    return {name: value for name, value in outvoted.fields.items() if Stamp(*stamps[name]).phone != phone}
