"""I5 and I15: all rows are read, every picture has its file. Imports nothing of harvestlog."""

from tests.faults import pages
from tests.faults.told import Event, Told, few

HALF_WRITTEN_H, UNNAMED_H = 48, 90 * 24  # how long each waits: a half-written file has a dot in front


def complete(told: Told) -> list[str]:
    """I5: after the last page a phone holds the server's rows of that moment."""
    said = []
    for farm, dump in told.server.items():
        said += pages.hidden(told, farm)
        given = {row["id"]: [row["seq"], row["deleted"]] for row in dump["rows"]}
        unlike = {
            id for id in given.keys() | dump["stored"].keys() if given.get(id) != dump["stored"].get(id)
        }
        if unlike:
            said.append(f"farm {farm}: what lies in the tables and what is read differ in {few(unlike)}")
        for who, phone in told.phones.items():
            if told.farms[who] == farm and phone["epoch"] == dump["epoch"]:
                said += _holds(told, farm, who, phone)
    return said


def _holds(told: Told, farm: str, who: str, phone: Event) -> list[str]:
    """A phone that read to its last page holds each row as it was then."""
    if phone["checkpoint"] != phone["cursor"]:
        return []
    then: dict[str, int] = {}
    for change in told.changes(farm):
        if change["seq"] <= phone["cursor"]:
            then[change["row"]] = change["seq"]
    held = {row["id"]: row["seq"] for row in phone["confirmed"]}
    unlike = {row for row in then.keys() | held.keys() if then.get(row) != held.get(row)}
    return [f"{who} read to {phone['cursor']} and does not hold {few(unlike)} of then"] if unlike else []


def pictures(told: Told) -> list[str]:
    """I15: every photo row has its file with equal hash; a sweep takes what has waited long enough, and nothing else."""
    said = _swept(told)
    for farm, dump in told.server.items():
        there = {photo["sha256"]: photo for photo in dump["photos"]}
        for photo in there.values():
            if photo["file_sha256"] is None:
                said.append(f"picture {photo['sha256'][:12]} has a row and no file")
            elif photo["file_sha256"] != photo["kept_sha256"]:
                said.append(f"picture {photo['sha256'][:12]} is not what its row says")
        said += [
            f"{call.who} was told that picture {call.sent['sha256'][:12]} is kept, and it is not"
            for call in told.answered("photo", farm)
            if not told.restored[farm] and call.sent["sha256"] not in there
        ]
        waiting = {
            sha for who, phone in told.phones.items() if told.farms[who] == farm for sha in phone["pictures"]
        }
        named = {
            sha
            for row in dump["rows"] if row["kind"] == "photo"
            for sha in (row["fields"]["sha256"], row["fields"]["thumb_sha256"])
        }  # fmt: skip
        lost = named - there.keys() - waiting
        if lost:
            said.append(
                f"farm {farm}: photo records without a picture anywhere: {few(sha[:12] for sha in lost)}"
            )
    return said


def _swept(told: Told) -> list[str]:
    said = []
    for event in told.events:
        if event["what"] != "swept":
            continue
        left = {file["name"] for file in event["after"]}
        for file in event["before"]:
            waits = HALF_WRITTEN_H if file["name"].startswith(".") else UNNAMED_H
            old = file["age_h"] > waits and not file["named"]
            if old and file["name"] in left:
                said.append(f"the sweep left {file['name']}, an orphan of {file['age_h']} h")
            if not old and file["name"] not in left:
                said.append(f"the sweep took {file['name']}, which is named or young")
    return said
