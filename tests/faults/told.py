"""A history taken apart for the judge: who made what, what was sent and answered, how it stood in the end.

Imports nothing of harvestlog, as the judge does not.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

Event = dict[str, Any]


@dataclass
class Call:
    """One request of a phone and how it ended; `end` is None where no answer came."""

    who: str
    farm: str
    sent: Event
    end: Event | None = None
    restores: int = 0  # how many older copies had been put in place when it was answered

    @property
    def answer(self) -> Event:
        """Nothing where none came."""
        return self.end or {}


@dataclass
class Told:
    events: Sequence[Event]
    farms: dict[str, str] = field(default_factory=dict)  # phone -> farm
    made: dict[tuple[str, str], Event] = field(default_factory=dict)  # (farm, op id) -> the op, with `who`
    calls: list[Call] = field(default_factory=list)
    server: dict[str, Event] = field(default_factory=dict)  # farm -> its last dump
    phones: dict[str, Event] = field(default_factory=dict)  # phone -> its last dump
    restored: dict[str, list[Event]] = field(default_factory=lambda: defaultdict(list))
    discarded: set[str] = field(default_factory=set)
    bases: dict[tuple[str, str], list[int]] = field(default_factory=lambda: defaultdict(list))

    def changes(self, farm: str) -> list[Event]:
        return sorted(self.server[farm]["changes"], key=lambda change: int(change["seq"]))

    def answered(self, of: str, farm: str | None = None) -> list[Call]:
        """Calls of one sort that were answered with success."""
        return [
            call for call in self.calls
            if call.sent["of"] == of and call.end and call.end["what"] == "ok" and farm in (None, call.farm)
        ]  # fmt: skip

    def of_this_history(self, farm: str) -> list[Call]:
        """Pulls answered with rows out of the history that the last dump shows."""
        last = len(self.restored[farm])
        epoch = self.server[farm]["epoch"]
        return [
            call for call in self.answered("pull", farm)
            if call.restores == last and not call.answer.get("reset") and call.answer["epoch"] == epoch
        ]  # fmt: skip

    def base(self, farm: str, change: Event) -> int:
        """What the phone had seen when it sent this operation, by the sending that was applied.

        An operation is sent with another base only after the history was begun again: what stands in a restored copy
        was applied as it was sent at first, what came after as it was sent last.
        """
        sent = self.bases[farm, change["op"]]
        kept = [copy["head"] for copy in self.restored[farm]]
        return sent[0] if kept and change["seq"] <= min(kept) else sent[-1]


def taken_apart(events: Sequence[Event]) -> Told:
    told = Told(events)
    open_calls: dict[int, Call] = {}
    for event in events:
        _TAKE.get(event["what"], _nothing)(told, event, open_calls)
    return told


def _nothing(told: Told, event: Event, calls: dict[int, Call]) -> None:
    """What only some promises look at, in `told.events`."""


def _phone(told: Told, event: Event, calls: dict[int, Call]) -> None:
    told.farms[event["who"]] = event["farm"]


def _made(told: Told, event: Event, calls: dict[int, Call]) -> None:
    told.made[told.farms[event["who"]], event["op"]["id"]] = event["op"] | {"who": event["who"]}


def _invoke(told: Told, event: Event, calls: dict[int, Call]) -> None:
    call = Call(event["who"], told.farms[event["who"]], event)
    calls[event["call"]] = call
    told.calls.append(call)
    for op in event.get("ops", []):
        told.bases[call.farm, op["id"]].append(op["base"])


def _end(told: Told, event: Event, calls: dict[int, Call]) -> None:
    call = calls[event["call"]]
    call.end, call.restores = event, len(told.restored[call.farm])


def _dump(told: Told, event: Event, calls: dict[int, Call]) -> None:
    if event["who"] == "server":
        told.server[event["farm"]] = event
    else:
        told.phones[event["who"]] = event


def _restored(told: Told, event: Event, calls: dict[int, Call]) -> None:
    told.restored[event["farm"]].append(event)


def _discarded(told: Told, event: Event, calls: dict[int, Call]) -> None:
    told.discarded |= set(event["ops"])


_TAKE = {
    "phone": _phone, "made": _made, "invoke": _invoke, "ok": _end, "fail": _end, "unknown": _end,
    "dump": _dump, "restored": _restored, "discarded": _discarded,
}  # fmt: skip


def same(one: Any, other: Any) -> bool:
    """Whether two values of a field say the same; a moment may be written in several ways."""
    if one == other:
        return True
    moments = [moment(value) for value in (one, other)]
    return None not in moments and moments[0] == moments[1]


def moment(value: Any) -> datetime | None:
    if not isinstance(value, str) or len(value) < 19 or "T" not in value:
        return None
    try:
        return datetime.fromisoformat(value.replace("Z", "+00:00"))
    except ValueError:
        return None


def few(things: Iterable[Any]) -> str:
    """Some of them, for a sentence."""
    found = sorted(map(str, things))
    return ", ".join(found[:3]) + (f" and {len(found) - 3} more" if len(found) > 3 else "")
