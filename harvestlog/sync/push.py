"""Takes operations from a phone: each has one effect and one answer, however often it is sent."""

import json
from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils import timezone
from pydantic import ValidationError

from harvestlog.accounts.access import Member, hold_farm, may_write, still_member
from harvestlog.accounts.models import Farm
from harvestlog.accounts.records import FarmRecord
from harvestlog.accounts.refusals import signed_out
from harvestlog.accounts.wire import shown
from harvestlog.accounts.wording import first_fault
from harvestlog.sync.chain import Seen, begin_again, chain_at, extended, is_another_history
from harvestlog.sync.forms import Operation, Push, Pushed, Result
from harvestlog.sync.kinds import KINDS, Kind
from harvestlog.sync.merge import Stamp, clamped, concurrent, merge, outlives, unseen
from harvestlog.sync.models import Change, Receipt
from harvestlog.sync.outvoted import remember
from harvestlog.sync.receipts import answer_again, digest_of, told


class Rejected(Exception):
    """An operation that can never be applied. The sentence is for the person who made the record."""

    def __init__(self, code: str, message: str, field: str | None = None) -> None:
        super().__init__(message)
        self.code, self.message, self.field = code, message, field


class NotYet(Exception):
    """An operation that may be applied later: what it changes has not arrived from the other phone."""


def push(member: Member, batch: Push, seen: Seen | None = None) -> Pushed:
    """Applies a batch in its order, in one transaction that holds the farm's row locked until it commits.

    The lock is what makes the farm's numbers dense: a seq is visible only when every smaller one is.
    Nothing is applied to another history than the phone has seen (chain.py): it is told to start again.
    """
    now = timezone.now()
    with transaction.atomic():
        hold_farm(member.farm_id)
        # The request was let in before the lock; whoever was removed while it waited may not write any more.
        now_a_member = still_member(member)
        if now_a_member is None:
            raise signed_out()
        farm = Farm.objects.get(pk=member.farm_id)
        if farm.epoch != batch.epoch:
            return Pushed(epoch=farm.epoch, server_time=now, results=[], reset=True)
        if seen and is_another_history(farm, [seen]):
            epoch = begin_again(now_a_member, batch.epoch, [seen])
            return Pushed(epoch=epoch, server_time=now, results=[], reset=True)
        results = []
        for op in batch.ops:
            results.append(_answer(farm, now_a_member, op, now))
            if results[-1].status == "retry":
                break
        farm.save(update_fields=["seq"])
        chain = chain_at(farm, farm.seq) or ""
    return Pushed(epoch=farm.epoch, server_time=now, results=results, head=farm.seq, chain=chain)


def _answer(farm: Farm, member: Member, op: Operation, now: datetime) -> Result:
    digest = digest_of(op)
    receipt = Receipt.objects.filter(farm=farm, op=op.id).first()
    if receipt is not None:
        return answer_again(receipt, digest)
    said: dict[str, Any]
    try:
        change = _apply(farm, member, op, now)
    except NotYet:
        words = "This changes a record that has not arrived here yet. It is sent again with the next pass."
        return Result(id=op.id, status="retry", code="row_unknown", message=words)
    except Rejected as refusal:
        said = {
            "status": "rejected",
            "code": refusal.code,
            "message": refusal.message,
            "field": refusal.field or "",
        }
    else:
        said = {"status": "applied", "seq": change.seq, "lost_fields": sorted(change.lost)}
    receipt = Receipt(farm=farm, op=op.id, device=member.device, digest=digest, at=now, **said)
    receipt.save(force_insert=True)
    return told(receipt)


def _apply(farm: Farm, member: Member, op: Operation, now: datetime) -> Change:
    kind = KINDS.get(op.kind)
    if kind is None:
        raise Rejected(
            "unknown_kind",
            f"This server keeps no records of the kind {shown(op.kind)}. Bring the server up to date, then send it again.",
        )
    if not may_write(member.role, kind.writers):
        raise Rejected(
            "not_allowed",
            f"As {member.role} of this farm you cannot change a {kind.name}. Ask an owner of the farm to do it.",
        )
    change = Change(
        farm=farm, seq=farm.seq + 1, op=op.id, kind=kind.name, row=op.row, verb=op.verb,
        person=member.person, device=member.device, at=op.at,
    )  # fmt: skip
    VERBS[op.verb](
        kind,
        op,
        change,
        Stamp(change.seq, str(member.phone_id or member.device), clamped(op.at, now), str(op.id)),
    )
    change.chain = extended(chain_at(farm, farm.seq) or "", change.seq, change.op)
    change.save(force_insert=True)
    farm.seq = change.seq
    return change


def _add(kind: Kind, op: Operation, change: Change, mine: Stamp) -> None:
    if Change.objects.filter(farm=change.farm, row=op.row).exists():
        raise Rejected(
            "row_exists", f"There is a record with the id {op.row} already. Save yours again as a new one."
        )
    form = _accepted(kind, op.fields)
    row = kind.model(
        farm=change.farm, uuid=op.row, seq=change.seq, author=change.person,
        stamps={name: mine.listed() for name in kind.fields},
        **{name: getattr(form, name) for name in kind.fields},
    )  # fmt: skip
    row.save(force_insert=True)
    change.after = kind.written(row)


def _patch(kind: Kind, op: Operation, change: Change, mine: Stamp) -> None:
    row = _row(kind, change)
    before = kind.written(row)
    form = _accepted(
        kind, before | op.fields
    )  # what loses below is kept in the history, so it too must be sound
    merged = merge(row.stamps, op.fields, mine, op.base, kind.together)
    if merged.lost:
        form = _accepted(kind, before | merged.written)
    replaced = unseen(row.stamps, merged.written, mine, op.base)
    for name in merged.written:
        setattr(row, name, getattr(form, name))
        row.stamps[name] = mine.listed()
    _save(row, change)
    after = kind.written(row)
    change.before = {name: before[name] for name in op.fields}
    change.after = {name: after[name] for name in op.fields}
    change.lost = merged.lost
    remember(change, replaced)


def _delete(kind: Kind, op: Operation, change: Change, mine: Stamp) -> None:
    row = _row(kind, change)
    # A deletion stands against anything but a restoring it could have seen. Base 0 on another phone's row comes
    # from healing a restored server, where operations of several phones arrive in any order: then time decides.
    if op.base == 0 and outlives(_deleted_by(row), mine, op.base):
        change.lost = {"deleted": True}
    else:
        row.deleted, row.stamps["deleted"] = True, mine.listed()
    _save(row, change)


def _restore(kind: Kind, op: Operation, change: Change, mine: Stamp) -> None:
    row = _row(kind, change)
    theirs = _deleted_by(row)
    deleted_since = outlives(theirs, mine, op.base) if op.base == 0 else concurrent(theirs, mine, op.base)
    if row.deleted and deleted_since:
        raise Rejected(
            "deleted_since",
            f"This {kind.name} was deleted on another phone after you last saw it. "
            "Look at it there, then bring it back.",
        )
    row.deleted, row.stamps["deleted"] = False, mine.listed()
    _save(row, change)


def _deleted_by(row: FarmRecord) -> Stamp | None:
    stamp = row.stamps.get("deleted")
    return Stamp(*stamp) if stamp else None


VERBS: dict[str, Callable[[Kind, Operation, Change, Stamp], None]] = {
    "add": _add,
    "patch": _patch,
    "delete": _delete,
    "restore": _restore,
}


def _row(kind: Kind, change: Change) -> FarmRecord:
    row = kind.model._default_manager.filter(farm=change.farm, uuid=change.row).first()
    if row is not None:
        return row
    if Change.objects.filter(farm=change.farm, row=change.row).exists():
        raise Rejected(
            "wrong_kind", f"The record {change.row} is no {kind.name}. Save this again from its own screen."
        )
    raise NotYet


def _save(row: FarmRecord, change: Change) -> None:
    row.seq = change.seq
    row.save(force_update=True)


def _accepted(kind: Kind, fields: dict[str, Any]) -> Any:
    """The fields as the kind's form reads them; the whole row is judged, so that no patch can make it impossible."""
    for name in fields:
        if name not in kind.fields:
            raise Rejected(
                "unknown_field",
                f"A {kind.name} has no field {shown(name)} on this server. "
                "Bring the server up to date, then send it again.",
            )
    try:
        return kind.form.model_validate_json(json.dumps(fields))
    except ValidationError as error:
        field, words = first_fault(error)
        raise Rejected("not_acceptable", words, field) from None
