"""I1, I3, I8 and I14: what was saved is somewhere, whatever was killed, lost or put back. Imports nothing of harvestlog."""

from collections import defaultdict

from tests.faults.expected import replayed
from tests.faults.told import Event, Told, few, same


def captured(told: Told) -> list[str]:
    """I1: shown as saved means there after a restart, with its pictures; a save that was cut is there whole or not at all."""
    said: list[str] = []
    saved: dict[str, list[Event]] = defaultdict(list)
    for event in told.events:
        if event["what"] in {"made", "tried"}:
            saved[event["who"]].append(event)
        elif event["what"] == "restarted":
            said += _after_restart(told, event, saved[event["who"]])
    return said


def _after_restart(told: Told, event: Event, saved: list[Event]) -> list[str]:
    said = []
    here, pictures = set(event["ops"]), set(event["pictures"])
    for save in saved:
        op, named = save["op"]["id"], set(save.get("pictures", []))
        if save["what"] == "made" and save["shown"] and op not in here | told.discarded:
            said.append(f"{event['who']} showed {op} as saved, and it is gone after the restart")
        if op in here and not named <= pictures:
            said.append(
                f"{event['who']} has {op} after the restart without {len(named - pictures)} of its pictures"
            )
        if save["what"] == "tried" and op not in here and named & pictures:
            said.append(f"{event['who']} has pictures of {op} after the restart, and no record of it")
    return said


def nothing_vanished(told: Told) -> list[str]:
    """I3: what was made is in an outbox, set aside, applied, or was thrown away by a visible act; each value too."""
    said = []
    for farm, dump in told.server.items():
        applied = {change["op"] for change in dump["changes"]}
        made = {op for of, op in told.made if of == farm}
        somewhere = set(applied | told.discarded)
        for who, phone in told.phones.items():
            if told.farms[who] == farm:
                somewhere |= {op["id"] for op in phone["outbox"]} | set(phone["parked"])
        if made - somewhere:
            said.append(f"farm {farm}: made and nowhere any more: {few(made - somewhere)}")
        if applied - made:
            said.append(f"farm {farm}: applied and made by nobody: {few(applied - made)}")
        said += _acknowledged(told, farm, applied) + _values(told, farm)
    return said


def _acknowledged(told: Told, farm: str, applied: set[str]) -> list[str]:
    """What a phone was told is applied is so. After an older copy was put back, the phone's shelf answers for it."""
    if told.restored[farm]:
        return []
    told_so = {
        result["id"]
        for call in told.answered("push", farm)
        for result in call.answer.get("results", [])
        if result["status"] == "applied"
    }
    return [f"farm {farm}: acknowledged and not there: {few(told_so - applied)}"] if told_so - applied else []


def _values(told: Told, farm: str) -> list[str]:
    """Of every applied operation each value stands in the history, as written or as outvoted; the phone was told which."""
    said = []
    receipts = {receipt["op"]: receipt for receipt in told.server[farm]["receipts"]}
    _, verdicts = replayed(told, farm)
    for change in told.changes(farm):
        op = told.made.get((farm, change["op"]))
        verdict = verdicts.get(change["op"])
        if op is None or verdict is None:
            continue
        for name, value in op["fields"].items():
            kept = change["lost"] if name in change["lost"] else change["after"]
            if name not in kept or not same(kept[name], value):
                said.append(f"{change['op']} wrote {name} {value!r}, and the history does not show it")
        if sorted(change["lost"]) != sorted(verdict.lost):
            said.append(f"{change['op']} lost {sorted(change['lost'])}, by the rule {sorted(verdict.lost)}")
        if sorted(receipts.get(change["op"], {}).get("lost_fields", [])) != sorted(change["lost"]):
            said.append(f"{change['op']}: its phone was not told that it lost {sorted(change['lost'])}")
    return said


def read_your_writes(told: Told) -> list[str]:
    """I8: a record never leaves its phone's view between being saved and being refused."""
    said: list[str] = []
    mine: dict[str, set[str]] = defaultdict(set)
    rows: dict[str, str] = {}
    for event in told.events:
        if event["what"] == "made" and event["op"]["verb"] == "add":
            mine[event["who"]].add(event["op"]["row"])
            rows[event["op"]["id"]] = event["op"]["row"]
        elif event["what"] == "ok":
            refused = [result["id"] for result in event.get("results", []) if result["status"] == "rejected"]
            mine[event["who"]] -= {rows[op] for op in refused if op in rows}
        elif event["what"] == "shown":
            gone = mine[event["who"]] - set(event["rows"])
            if gone:
                said.append(f"{event['who']} does not see its own {few(gone)} any more")
                mine[event["who"]] -= gone
        elif event["what"] == "discarded":
            mine[event["who"]] -= {rows[op] for op in event["ops"] if op in rows}
    return said


def healed(told: Told) -> list[str]:
    """I14: after an older copy was put back, all that it or any phone had is on the server, and deletes stay deleted."""
    said = []
    for farm, copies in told.restored.items():
        if not copies:
            continue
        dump = told.server[farm]
        now = {row["id"]: row for row in dump["rows"]}
        had = {row["id"] for copy in copies for row in copy["rows"]} | _seen(told, farm)
        if had - now.keys():
            said.append(
                f"farm {farm}: had before the copy was put back, and not now: {few(had - now.keys())}"
            )
        if _was_ahead(told, farm, copies[-1]) and dump["epoch"] == copies[-1]["epoch"]:
            said.append(f"farm {farm}: phones were ahead of the copy, and its history was not begun again")
        said += [
            f"{row} was deleted, nobody brought it back, and the server shows it"
            for row in _deleted_for_good(told, farm)
            if row in now and not now[row]["deleted"]
        ]
    return said


def _seen(told: Told, farm: str) -> set[str]:
    """Rows that any phone of the farm was ever shown, or was told are applied."""
    seen = {row["id"] for call in told.answered("pull", farm) for row in call.answer.get("rows", [])}
    for call in told.answered("push", farm):
        for result in call.answer.get("results", []):
            if result["status"] == "applied":
                seen.add(told.made[farm, result["id"]]["row"])
    return seen


def _was_ahead(told: Told, farm: str, copy: Event) -> bool:
    before = len(told.restored[farm]) - 1
    return any(
        call.answer.get("head", 0) > copy["head"]
        for of in ("push", "pull")
        for call in told.answered(of, farm)
        if call.restores == before
    )


def _deleted_for_good(told: Told, farm: str) -> set[str]:
    ops = [op for (of, _), op in told.made.items() if of == farm]
    applied = {
        result["id"]
        for call in told.answered("push", farm)
        for result in call.answer.get("results", [])
        if result["status"] == "applied"
    }
    deleted = {op["row"] for op in ops if op["verb"] == "delete" and op["id"] in applied}
    return deleted - {op["row"] for op in ops if op["verb"] == "restore"}
