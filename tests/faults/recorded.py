"""A model phone over real HTTP that tells a history all it does. Its ids, its clock and its chances are drawn from a seed."""

import json
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from http.client import HTTPException
from random import Random
from typing import Any
from uuid import UUID

from tests.copies.sites import PASSWORD, Hand, Line, picture
from tests.faults.history import History
from tests.sync.phone import Json

MANY = 150  # records in view from which on only every twentieth save is followed by a look at all of it
SYNC = {"/api/sync/push": "push", "/api/sync/pull": "pull"}


class NoAnswer(Exception):
    """Whether the server did it is not known."""


class TurnedAway(Exception):
    """The server answered that it did nothing."""

    def __init__(self, status: int, said: Any) -> None:
        self.status, self.code = status, said.get("code", "") if isinstance(said, dict) else ""
        super().__init__(f"{status} {said}")


class PatientLine(Line):
    """An empty answer that calls itself JSON is an answer without words."""

    def ask(self, method: str, path: str, body: object = None, query: Json | None = None) -> tuple[int, Any]:
        try:
            return super().ask(method, path, body, query)
        except json.JSONDecodeError as empty:
            if empty.doc:
                raise
            return 204, None


class Recorded(Hand):
    """Like `Hand`; `skew` is how wrong its clock is. `person` may hold several of these."""

    def __init__(self, name: str, person: str, history: History, chance: Random) -> None:
        super().__init__(person)
        self.line = PatientLine("")
        self.who, self.history, self.chance = name, history, chance
        self.device = self.new_id()
        self.skew = timedelta()
        self.pictures: dict[str, bytes] = {}
        self.farm = ""

    def new_id(self) -> str:
        return str(UUID(int=self.chance.getrandbits(128), version=4))

    def enters(self, farm: str) -> "Recorded":
        """Signs in to that farm, once more if it was signed in before."""
        self.line.jar.clear()
        form: Json = {"email": self.email, "password": PASSWORD, "farm": farm}
        session = self._post("/api/session", form | {"device": self.device, "device_name": self.who})
        if not self.farm:
            self.farm = farm
            self.history.note(self.who, "phone", farm=farm, device=self.device)
        if session["epoch"] != self.epoch:
            self.reset(session["epoch"])
        return self

    def change(
        self, verb: str, kind: str, row: str, fields: Json | None = None, at: datetime | None = None
    ) -> str:
        return self.saves(verb, kind, row, fields, at)

    def saves(
        self, verb: str, kind: str, row: str, fields: Json | None = None, at: datetime | None = None,
        pictures: tuple[bytes, ...] = (),
    ) -> str:  # fmt: skip
        when = at or datetime.now(UTC) + self.skew
        op: Json = {"id": self.new_id(), "verb": verb, "kind": kind, "row": row}
        op |= {
            "base": self.confirmed.get(row, {}).get("seq", 0),
            "at": when.isoformat(),
            "fields": fields or {},
        }
        self.outbox.append(op)
        self.made.append(str(op["id"]))
        kept = {sha256(bytes_).hexdigest(): bytes_ for bytes_ in pictures}
        self.pictures |= kept
        self.history.note(self.who, "made", op=op, shown=True, pictures=list(kept))
        if len(self.confirmed) + len(self.outbox) < MANY or len(self.outbox) % 20 == 0:
            self.shows()
        return str(op["id"])

    def adds(self, kind: str, **fields: Any) -> str:
        row = self.new_id()
        self.saves("add", kind, row, fields)
        return row

    def photographs(self, shade: int, block: str, full: bytes | None = None) -> str:
        """A photo's record with its two pictures. Returns the full one's hash."""
        pictures = full or picture(shade, 64), picture(shade, 16)
        names = [sha256(bytes_).hexdigest() for bytes_ in pictures]
        fields = {"block": block, "stage": "pins", "taken": "2026-05-03T07:40:00Z", "width": 64, "height": 64}
        fields |= {"sha256": names[0], "thumb_sha256": names[1]}
        self.saves("add", "photo", self.new_id(), fields, pictures=pictures)
        return names[0]

    def shows(self) -> None:
        self.history.note(self.who, "shown", rows=list(self.view()))

    def has_read(self) -> None:
        told = {"cursor": self.cursor, "checkpoint": self.checkpoint, "epoch": self.epoch}
        self.history.note(self.who, "cursor", **told)

    def push(self, **how: Any) -> list[Json]:
        results = super().push(**how)
        self.has_read()
        self.shows()
        return results

    def pull(self, **how: Any) -> None:
        super().pull(**how)
        self.has_read()
        self.shows()

    def sends_pictures(self) -> None:
        for name in list(self.pictures):
            call = self.history.invoke(self.who, "photo", sha256=name)
            said = self._ask(call, "PUT", f"/api/photos/{name}", self.pictures[name])
            assert said == {"sha256": name}
            self.history.note(self.who, "ok", call=call, kept=name)
            del self.pictures[name]

    def gets_through(self, tries: int = 50) -> int:
        """Passes until one ended well, as a phone makes them; returns how many it took."""
        for tried in range(1, tries + 1):
            try:
                self.sync()
                self.sends_pictures()
            except (NoAnswer, TurnedAway) as trouble:
                if isinstance(trouble, TurnedAway) and trouble.status not in {408, 429, 503, 507}:
                    raise
            else:
                return tried
        raise AssertionError(f"{self.who} did not get through in {tries} passes")

    def ends(self) -> None:
        self.history.note(
            self.who, "dump", confirmed=list(self.confirmed.values()), outbox=self.outbox,
            parked=[parked["op"]["id"] for parked in self.parked], sent=[op["id"] for op in self.shelf],
            cursor=self.cursor, checkpoint=self.checkpoint, epoch=self.epoch, pictures=list(self.pictures),
        )  # fmt: skip

    def _post(self, path: str, body: Json) -> Json:
        of = SYNC.get(path.partition("?")[0])
        if of is None:
            return self._wanted(*self._try("POST", path, body))
        sent = [{"id": op["id"], "base": op["base"]} for op in body["ops"]]
        call = self.history.invoke(self.who, of, ops=sent, epoch=body["epoch"])
        return self._heard(call, self._ask(call, "POST", path, body))

    def _get(self, path: str, query: Json) -> Json:
        of = SYNC.get(path)
        if of is None:
            return self._wanted(*self._try("GET", path, None, query))
        call = self.history.invoke(self.who, of, since=query["since"], epoch=query["epoch"])
        return self._heard(call, self._ask(call, "GET", path, None, query))

    def _heard(self, call: int, answer: Json) -> Json:
        self.history.note(self.who, "ok", call=call, **answer)
        return answer

    def _ask(self, call: int, method: str, path: str, body: object, query: Json | None = None) -> Any:
        try:
            status, said = self._try(method, path, body, query)
        except NoAnswer:
            self.history.note(self.who, "unknown", call=call)
            raise
        if status not in (200, 201):
            code = said.get("code", "") if isinstance(said, dict) else ""
            # A 5xx other than the API's own words may stand for anything.
            what = "fail" if status < 500 or status in (503, 507) else "unknown"
            self.history.note(self.who, what, call=call, status=status, code=code)
            raise TurnedAway(status, said)
        if not self._meant(said, body):
            self.history.note(self.who, "unknown", call=call)
            raise NoAnswer("a 200 that says nothing of what was asked")
        return said

    def _meant(self, said: Any, body: object) -> bool:
        """A hotel's sign-in page answers 200 to anything. Only what speaks of what was sent is an answer."""
        if not isinstance(said, dict):
            return False
        if not isinstance(body, dict):
            return "epoch" in said or "sha256" in said
        sent = [op["id"] for op in body["ops"]]
        same_history = bool(said["reset"]) or said["epoch"] == body["epoch"]
        return same_history and [result["id"] for result in said["results"]] == sent[: len(said["results"])]

    def _try(self, method: str, path: str, body: object, query: Json | None = None) -> tuple[int, Any]:
        try:
            return self.line.ask(method, path, body, query)
        except (OSError, HTTPException, json.JSONDecodeError) as trouble:
            raise NoAnswer(str(trouble)) from trouble
