"""What falls due as an iCalendar object (RFC 5545). The phone writes the same words into its own file."""

import unicodedata
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from icalendar import Alarm, Calendar, Event

from harvestlog.calc.due import Due, Kind
from harvestlog.reports.calendar.due import Coming

READ_AGAIN = timedelta(hours=2)


class Said(NamedTuple):
    """The words of one kind of date, and which page of the app shows its record."""

    summary: Callable[[str], str]
    note: str
    page: str


WORDS: dict[Kind, Said] = {
    "soak_out": Said("Take {} out of the soak".format, "", "block"),
    "weigh_again": Said(
        lambda name: f"Weigh the load again: {name}" if name else "Weigh the load again",
        "Cool it before you weigh it.",
        "drying",
    ),
    "look_for_pins": Said(
        "Look for pins: {}".format, "A forecast: they may come earlier, later or not at all.", "block"
    ),
    "pick_window": Said(
        "Ready to pick? {}".format, "What is usual from pins to picking. Look every day.", "block"
    ),
    "strain": Said(
        "Strain: {}".format,
        "The steeping time is your own setting. Strong spirit burns: no flame, no hot plate, air the room.",
        "extract",
    ),
    "shake": Said("Shake: {}".format, "", "extract"),
    "look_into_jars": Said(
        "Look into {} and shake it".format,
        "Drops on the wall, or pieces that bend: dry them again. Common practice, no source.",
        "jar",
    ),
    "best_before": Said("Your best-before day: {}".format, "The day you set yourself.", "jar"),
}


def calendar_file(things: Iterable[Coming], made: datetime, origin: str) -> bytes:
    """The whole calendar. made: written on every entry; origin: where the app is, so that each links to its record."""
    calendar = Calendar()
    calendar.add("prodid", "-//harvestlog//harvestlog//EN")
    calendar.add("version", "2.0")
    calendar.add("name", "harvestlog")
    calendar.add("refresh-interval", READ_AGAIN, parameters={"VALUE": "DURATION"})  # RFC 7986
    for thing in things:
        calendar.add_component(_event(thing, made, origin))
    written: bytes = calendar.to_ical()
    return written


def _event(thing: Coming, made: datetime, origin: str) -> Event:
    one, said = thing.due, WORDS[thing.due.kind]
    summary = _text(said.summary(thing.name))
    description = "\n".join(filter(None, [", ".join(filter(None, thing.about)), said.note]))
    event = Event()
    event.add("uid", f"{one.kind}-{one.key}@harvestlog")
    event.add("dtstamp", made.astimezone(UTC))
    _when(event, one)
    event.add("summary", summary)
    if description:
        event.add("description", _text(description))
    event.add("url", f"{origin}/#/{said.page}/{one.key}")
    event.add("transp", "TRANSPARENT")
    if one.kind == "soak_out":
        event.add_component(_alarm(summary))
    return event


def _when(event: Event, one: Due) -> None:
    event.add("dtstart", one.at.astimezone(UTC).replace(microsecond=0) if one.at else one.day)
    if one.until is None:
        return
    if one.every_days is None:
        event.add("dtend", one.until + timedelta(days=1))  # the first day that is no longer part of it
    else:
        event.add("rrule", {"freq": "daily", "interval": one.every_days, "until": one.until})


def _alarm(summary: str) -> Alarm:
    """A block drowns while nobody looks: the one date that rings."""
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", summary)
    alarm.add("trigger", timedelta(0))
    return alarm


def _text(words: str) -> str:
    """One kind of line end, and no control character, which RFC 5545 keeps out of TEXT."""
    lines = words.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(char for char in lines if char in "\n\t" or unicodedata.category(char) != "Cc")
