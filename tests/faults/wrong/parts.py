"""Where the parts of a recorded history are found that a fault would show in."""

from collections.abc import Iterator
from typing import Any

Event = dict[str, Any]
Events = list[Event]


def of(events: Events, what: str, **like: Any) -> list[Event]:
    return [
        event for event in events
        if event["what"] == what and all(event.get(name) == value for name, value in like.items())
    ]  # fmt: skip


def server(events: Events) -> Event:
    """The dump of the farm that most is told of."""
    return max(of(events, "dump", who="server"), key=lambda dump: int(dump["head"]))


def phones(events: Events) -> Events:
    farm = server(events)["farm"]
    names = {event["who"] for event in of(events, "phone", farm=farm)}
    return [dump for dump in of(events, "dump") if dump["who"] in names]


def pages(events: Events, *, with_rows: bool = True) -> Events:
    """Answered pulls of that farm, in the epoch of its end."""
    names = {dump["who"] for dump in phones(events)}
    return [
        event for event in of(events, "ok")
        if event["who"] in names and "upto" in event and event["epoch"] == server(events)["epoch"]
        and (event["rows"] or not with_rows)
    ]  # fmt: skip


def shown(events: Events, row: str) -> Iterator[Event]:
    """Every copy of that row, wherever it was shown last."""
    rows = [server(events)["rows"], *(dump["confirmed"] for dump in phones(events))]
    rows += [page["rows"] for page in pages(events)]
    newest = next(each["seq"] for each in server(events)["rows"] if each["id"] == row)
    for each in (each for some in rows for each in some):
        if each["id"] == row and each["seq"] == newest:
            yield each


def patches(events: Events) -> Events:
    """Applied patches that outvoted nobody and lost nothing."""
    return [
        change for change in server(events)["changes"] if change["verb"] == "patch" and not change["lost"]
    ]
