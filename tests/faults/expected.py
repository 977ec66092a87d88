"""The merge rule written a second time, from the promises alone: what each record should be after the operations that the
server says it applied, in the order it says. Imports nothing of harvestlog.

The rule: an operation of a phone that had not seen another phone's writing of the same field is concurrent with it; of
concurrent ones the later by (the phone's time but never later than the server's, operation id) stands, whole groups
together. What is not concurrent is written, whatever the clocks say. A deletion stands until somebody who saw it brings
the record back. Base 0 at a record of another phone is what a phone sends after the history was begun again: it claims
to have seen nothing, so there deletions too go by time.
"""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, NamedTuple

from tests.faults.told import Event, Told, moment

# Fields that mean something only together, as a grower would say it: a mass and the words typed for it, a range's two
# ends, how a block's dry mass is known.
GROUPS: dict[str, list[set[str]]] = {
    "variety": [{"temp_low_c", "temp_high_c"}],
    "block": [{"dry_basis", "dry_g", "moisture_pct", "moisture_low_pct", "moisture_high_pct", "wet_g"}],
    "happening": [{"at", "until"}],
    "pick": [{"wet_g", "typed"}, {"dry_g", "dry_typed"}],
    "drying": [{"dry_g", "dry_typed"}],
    "drying_part": [{"wet_g", "typed"}],
    "drying_weighing": [{"mass_g", "typed"}],
    "jar": [{"dry_g", "dry_typed"}],
    "taking": [{"mass_g", "typed"}],
    "trial": [{"dry_g", "dry_typed"}],
    "trial_weighing": [{"drained_g", "typed"}],
    "extract": [
        {"mass_g", "typed", "mushroom", "fresh_water_low_pct", "fresh_water_high_pct"},
        {"steep_low_days", "steep_high_days"},
        {"target_low_pct", "target_high_pct"},
    ],
}


class Written(NamedTuple):
    seq: int
    who: str
    at: datetime
    op: str


@dataclass
class Row:
    kind: str
    added: Written
    fields: dict[str, Any]
    seq: int
    deleted: bool = False
    written: dict[str, Written] = field(default_factory=dict)
    deletion: Written | None = None

    def last(self, name: str) -> Written:
        return self.written.get(name, self.added)


@dataclass
class Verdict:
    """What the rule says of one applied operation: fields that stand, fields that lose to a concurrent later one, and
    those of the written whose writing no clock had a say in."""

    stands: dict[str, Any] = field(default_factory=dict)
    lost: dict[str, Any] = field(default_factory=dict)
    undisputed: set[str] = field(default_factory=set)
    trouble: str = ""


def replayed(told: Told, farm: str) -> tuple[dict[str, Row], dict[str, Verdict]]:
    """The farm's rows by id, and a verdict an operation."""
    rows: dict[str, Row] = {}
    verdicts: dict[str, Verdict] = {}
    moments = {receipt["op"]: receipt["at"] for receipt in told.server[farm]["receipts"]}
    for change in told.changes(farm):
        op = told.made.get((farm, change["op"]))
        taken = moment(moments.get(change["op"]))
        if op is None or taken is None or not told.bases[farm, change["op"]]:
            continue  # nobody made it: the judge of I3 says so
        at = moment(op["at"])
        assert at is not None, op
        mine = Written(change["seq"], op["who"], min(at, taken), op["id"])
        verdicts[op["id"]] = _apply(rows, op, mine, told.base(farm, change))
    return rows, verdicts


def _apply(rows: dict[str, Row], op: Event, mine: Written, base: int) -> Verdict:
    row = rows.get(op["row"])
    if op["verb"] == "add":
        if row is not None:
            return Verdict(trouble=f"{op['id']} added {op['row']}, which was there")
        rows[op["row"]] = Row(op["kind"], mine, dict(op["fields"]), mine.seq)
        return Verdict(stands=dict(op["fields"]), undisputed=set(op["fields"]))
    if row is None:
        return Verdict(trouble=f"{op['id']} changed {op['row']}, which was not there yet")
    row.seq = mine.seq
    if op["verb"] == "patch":
        return _patch(row, op, mine, base)
    return _delete_or_restore(row, op, mine, base)


def _patch(row: Row, op: Event, mine: Written, base: int) -> Verdict:
    verdict = Verdict()
    for name, value in op["fields"].items():
        group = next((group for group in GROUPS.get(row.kind, []) if name in group), {name})
        rivals = [row.last(each) for each in group if _unseen(row.last(each), mine, base)]
        if not rivals:
            verdict.undisputed.add(name)
        lost = any((rival.at, rival.op) > (mine.at, mine.op) for rival in rivals)
        (verdict.lost if lost else verdict.stands)[name] = value
    for name, value in verdict.stands.items():
        row.fields[name], row.written[name] = value, mine
    return verdict


def _delete_or_restore(row: Row, op: Event, mine: Written, base: int) -> Verdict:
    last, wanted = row.deletion, op["verb"] == "delete"
    rival = last if last is not None and _unseen(last, mine, base) else None
    earlier = rival is not None and base == 0 and (rival.at, rival.op) > (mine.at, mine.op)
    if earlier and wanted:
        return Verdict(lost={"deleted": wanted})
    if row.deleted and not wanted and (earlier or (rival and base != 0)):
        return Verdict(
            trouble=f"{op['id']} brought back {op['row']}, and its phone had not seen the deletion"
        )
    row.deleted, row.deletion = wanted, mine
    return Verdict(stands={"deleted": wanted}, undisputed=set() if rival else {"deleted"})


def _unseen(theirs: Written, mine: Written, base: int) -> bool:
    return theirs.seq > base and theirs.who != mine.who
