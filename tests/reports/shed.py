"""A grower who keeps what grew, for the tests of reports."""

from typing import Any
from uuid import uuid4

from tests.cast import Actor
from tests.sync.farms import phone_of

AT = "2026-05-20T08:00:00Z"
Json = dict[str, Any]


class Shed:
    """Each call is one record, sent at once."""

    def __init__(self, actor: Actor) -> None:
        self.actor, self.phone = actor, phone_of(actor.member)

    def add(self, kind: str, **fields: Any) -> str:
        row = str(uuid4())
        self.phone.change("add", kind, row, fields)
        while self.phone.push():
            pass
        assert self.phone.parked == []
        return row

    def delete(self, kind: str, row: str) -> None:
        self.phone.pull()
        self.phone.change("delete", kind, row)
        self.phone.push()

    def load(self, *parts: Json, method: str = "freeze", dry_g: float | None = None, **other: Any) -> str:
        row = self.add("drying", method=method, started=AT, dry_g=dry_g, **other)
        for part in parts:
            self.add("drying_part", drying=row, **part)
        return row

    def figures(self) -> Json:
        answer = self.actor.phone.get("/api/reports/keeping")
        assert answer.status_code == 200, answer.content
        told: Json = answer.json()
        return told
