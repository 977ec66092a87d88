"""How a server stands in the end: its tables as they lie, its picture files as they hash, its rows as a new phone is given them."""

from hashlib import sha256
from typing import Any
from uuid import UUID

from tests.copies.sites import Line, Site
from tests.faults.tables import KINDS, ask, id_of, json_of, moment_of

Json = dict[str, Any]


def dump_of(site: Site, farm: str, line: Line) -> Json:
    """`line` belongs to a member of the farm and reaches the server without faults."""
    key = UUID(farm)
    ((head, epoch),) = ask(site, "SELECT seq, epoch FROM accounts_farm WHERE id = ?", key)
    return {
        "farm": farm,
        "head": head,
        "epoch": id_of(epoch),
        "rows": rows_read(line),
        "stored": stored(site, key),
        "receipts": receipts(site, key),
        "changes": changes(site, key),
        "photos": photos(site, key),
    }


def rows_read(line: Line) -> list[Json]:
    rows: list[Json] = []
    asked: Json = {"since": 0, "limit": 1000}
    while True:
        status, page = line.ask("GET", "/api/sync/pull", query=asked)
        assert status == 200, (status, page)
        if page["reset"]:  # a phone without an epoch is told it first
            asked["epoch"] = page["epoch"]
            continue
        rows += page["rows"]
        asked["since"] = page["upto"]
        if not page["more"]:
            return rows


def stored(site: Site, farm: UUID) -> Json:
    union = " UNION ALL ".join(
        f"SELECT uuid, seq, deleted FROM {table} WHERE farm_id = ?"  # noqa: S608 - our own names
        for table in KINDS.values()
    )
    found = ask(site, union, *[farm] * len(KINDS))
    return {id_of(id): [seq, bool(deleted)] for id, seq, deleted in found}


def receipts(site: Site, farm: UUID) -> list[Json]:
    query = "SELECT op, status, seq, code, at, lost_fields FROM sync_receipt WHERE farm_id = ?"
    return [
        {
            "op": id_of(op),
            "status": status,
            "seq": seq,
            "code": code,
            "at": moment_of(at),
            "lost_fields": json_of(lost),
        }
        for op, status, seq, code, at, lost in ask(site, query, farm)
    ]


def changes(site: Site, farm: UUID) -> list[Json]:
    query = (
        "SELECT seq, op, kind, row, verb, device, before, after, lost FROM sync_change WHERE farm_id = ?"
    ).replace(" row,", ' "row",')
    return [
        {
            "seq": seq,
            "op": id_of(op),
            "kind": kind,
            "row": id_of(row),
            "verb": verb,
            "device": id_of(device),
            "before": json_of(before),
            "after": json_of(after),
            "lost": json_of(lost),
        }
        for seq, op, kind, row, verb, device, before, after, lost in ask(site, query, farm)
    ]


def photos(site: Site, farm: UUID) -> list[Json]:
    query = "SELECT sha256, kept_sha256, name FROM photos_photofile WHERE farm_id = ?"
    return [
        {"sha256": sent, "kept_sha256": kept, "file_sha256": _hash(site, name)}
        for sent, kept, name in ask(site, query, farm)
    ]


def _hash(site: Site, name: str) -> str | None:
    file = site.folder / "photos" / name
    return sha256(file.read_bytes()).hexdigest() if file.exists() else None


def strays(site: Site) -> list[str]:
    """Files among the pictures that no row vouches for."""
    named = {name for (name,) in ask(site, "SELECT name FROM photos_photofile")}
    top = site.folder / "photos"
    files = {str(path.relative_to(top)) for path in top.rglob("*") if path.is_file()}
    return sorted(files - named)
