"""What each page that a phone read must have shown, from the history as it stood in the end. Imports nothing of harvestlog."""

from bisect import bisect_right
from collections import defaultdict

from tests.faults.told import Told, few


def _written(told: Told, farm: str) -> dict[str, list[int]]:
    """For each row, the numbers of the operations that changed it, ascending."""
    written: dict[str, list[int]] = defaultdict(list)
    for change in told.changes(farm):
        written[change["row"]].append(change["seq"])
    return written


def _should_show(written: dict[str, list[int]], since: int, upto: int, head: int) -> dict[str, int]:
    """The rows of a page: each at its last change up to `head`, where that lies after `since` and not after `upto`."""
    shown = {}
    for row, seqs in written.items():
        at = bisect_right(seqs, head)
        if at and since < seqs[at - 1] <= upto:
            shown[row] = seqs[at - 1]
    return shown


def hidden(told: Told, farm: str) -> list[str]:
    """For I4 and I5: each page shows just what one moment held, nothing before it missing and nothing later in it."""
    said = []
    written = _written(told, farm)
    for call in told.of_this_history(farm):
        end = call.answer
        wanted = _should_show(written, call.sent["since"], end["upto"], end["head"])
        given = {row["id"]: row["seq"] for row in end["rows"]}
        unlike = {row for row in wanted.keys() | given.keys() if wanted.get(row) != given.get(row)}
        if unlike:
            since, upto = call.sent["since"], end["upto"]
            said.append(f"{call.who} read {since} to {upto} of {end['head']}; not as it stood: {few(unlike)}")
        if not end["more"] and end["upto"] != end["head"]:
            said.append(f"{call.who} was told of no more at {end['upto']}, and the head was {end['head']}")
    return said


def risen(told: Told, farm: str) -> list[str]:
    """For I9: no page shows a row again that an earlier operation deleted, unless one between brought it back."""
    verbs: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for change in told.changes(farm):
        if change["verb"] in {"delete", "restore"} and "deleted" not in change["lost"]:
            verbs[change["row"]].append((change["seq"], change["verb"]))
    said = []
    for call in told.of_this_history(farm):
        for row in call.answer["rows"]:
            before = [verb for seq, verb in verbs[row["id"]] if seq <= row["seq"]]
            if row["deleted"] != (before[-1:] == ["delete"]):
                said.append(f"{call.who} was shown {row['id']} at {row['seq']} with deleted {row['deleted']}")
    return said
