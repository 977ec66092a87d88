"""A phone in its plainest form, written from the promises of sync and not from the app: the other side of every exchange."""

import copy
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any
from urllib.parse import urlencode
from uuid import uuid4

Json = dict[str, Any]
EPOCH_START = datetime(2026, 5, 1, tzinfo=UTC)


@dataclass
class Phone:
    """Keeps confirmed rows, an outbox and what was refused; `post` and `get` reach the server."""

    post: Callable[[str, Json], Json]
    get: Callable[[str, Json], Json]
    device: str = field(default_factory=lambda: str(uuid4()))
    epoch: str = ""
    cursor: int = 0
    checkpoint: int = 0
    # How far it knows the farm's history, and that history's hash: sent with every request.
    seen: Json = field(default_factory=lambda: {"seen": 0, "chain": ""})
    # Confirmed by the server, kept in case it is restored from an older copy.
    shelf: list[Json] = field(default_factory=list)
    confirmed: dict[str, Json] = field(default_factory=dict)
    outbox: list[Json] = field(default_factory=list)
    acked: dict[str, int] = field(default_factory=dict)
    parked: list[Json] = field(default_factory=list)
    made: list[str] = field(default_factory=list)
    # Told by the server: what this phone wrote and somebody replaced who had not seen it.
    outvoted: list[Json] = field(default_factory=list)

    def change(
        self, verb: str, kind: str, row: str, fields: Json | None = None, at: datetime = EPOCH_START
    ) -> str:
        op = {
            "id": str(uuid4()),
            "verb": verb,
            "kind": kind,
            "row": row,
            "base": self.confirmed.get(row, {}).get("seq", 0),
            "at": at.isoformat(),
            "fields": fields or {},
        }
        self.outbox.append(op)
        self.made.append(op["id"])
        return str(op["id"])

    def push(self, *, copies: int = 1, answer_lost: bool = False, at_most: int = 100) -> list[Json]:
        """Sends what is unsent, several times over if asked; the last answer counts, unless it is lost."""
        ops = [op for op in self.outbox if op["id"] not in self.acked][:at_most]
        if not ops:
            return []
        body = {"epoch": self.epoch, "device": self.device, "app_version": "test", "ops": ops}
        path = f"/api/sync/push?{urlencode(self.seen)}"
        answers = [self.post(path, copy.deepcopy(body)) for _ in range(copies)]
        for answer in answers[1:]:
            assert answer["results"] == answers[0]["results"], "the same batch got two answers"
        if answer_lost:
            return []
        if answers[-1]["reset"]:
            self.reset(answers[-1]["epoch"])
            return []
        for result in answers[-1]["results"]:
            self._take(result)
        self._see(answers[-1])
        return list(answers[-1]["results"])

    def _take(self, result: Json) -> None:
        if result["status"] == "applied":
            self.acked[result["id"]] = result["seq"]
        elif result["status"] == "rejected":
            op = next(op for op in self.outbox if op["id"] == result["id"])
            self.outbox.remove(op)
            self.parked.append({"op": op} | result)

    def _see(self, answer: Json) -> None:
        self.seen = {"seen": answer["head"], "chain": answer["chain"]}

    def reset(self, epoch: str) -> None:
        """The server's history is another one: what was sent goes back in front, under its ids; no base counts any more."""
        self.epoch, self.cursor, self.checkpoint, self.confirmed = epoch, 0, 0, {}
        self.outbox = [op | {"base": 0} for op in (*self.shelf, *self.outbox)]
        self.shelf, self.acked, self.seen = [], {}, {"seen": 0, "chain": ""}

    def sync(self) -> None:
        """A pass: everything is pushed, then read to the head; begun again where the server says so."""
        for _ in range(4):
            epoch = self.epoch
            while any(result["status"] != "retry" for result in self.push()):
                pass
            if epoch == self.epoch:
                self.pull()
            if epoch == self.epoch:
                return
        raise AssertionError("the server began again and again")

    def pull(self, *, limit: int = 500, pages: int = 1000) -> None:
        for _ in range(pages):
            asked = {"epoch": self.epoch, "since": self.cursor, "limit": limit}
            page = self.get("/api/sync/pull", asked | self.seen)
            if page.get("reset"):
                self.reset(page["epoch"])
                continue
            self._see(page)
            for row in page["rows"]:
                self.confirmed[row["id"]] = row
            self.outvoted += page["outvoted"]
            assert page["upto"] >= self.cursor, "the cursor fell"
            self.cursor = page["upto"]
            if not page["more"]:
                self.checkpoint = self.cursor
                waiting = [op for op in self.outbox if self.acked.get(op["id"], 2**60) > self.checkpoint]
                self.shelf += [op for op in self.outbox if op not in waiting]
                self.outbox = waiting
                return

    def view(self) -> dict[str, Json]:
        """What the grower sees: the outbox replayed over the confirmed rows."""
        rows = {
            id: {"deleted": row["deleted"], "fields": dict(row["fields"])}
            for id, row in self.confirmed.items()
        }
        for op in self.outbox:
            row = rows.get(op["row"])
            if op["verb"] == "add":
                rows.setdefault(op["row"], {"deleted": False, "fields": dict(op["fields"])})
            elif row is not None and op["verb"] == "patch":
                row["fields"].update(op["fields"])
            elif row is not None:
                row["deleted"] = op["verb"] == "delete"
        return rows

    def canonical(self) -> str:
        return json.dumps(self.confirmed, sort_keys=True)
