"""What falls due as a calendar: the file itself, as the icalendar package reads it back."""

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar, Event

from harvestlog.calc.due import DUE_KINDS, Due, Kind
from harvestlog.reports.calendar.due import Coming
from harvestlog.reports.calendar.file import calendar_file

FOLDER = Path(__file__).parents[2] / "fixtures" / "calendar"
MADE = datetime(2026, 5, 10, tzinfo=UTC)
ORIGIN = "https://farm.example.org"


def coming(**more: Any) -> Coming:
    name, about = more.pop("name", "K7M3P"), more.pop("about", ("Grey oyster",))
    own: dict[str, Any] = {"kind": "soak_out", "key": "1", "day": date(2026, 5, 10)}
    return Coming(Due(**own | more), name, tuple(about))


def examples() -> tuple[datetime, str, list[Coming]]:
    told = json.loads((FOLDER / "entries.json").read_text(encoding="utf-8"))
    things = []
    for each in told["entries"]:
        at = each["at"] and datetime.fromisoformat(each["at"])
        until = each["until"] and date.fromisoformat(each["until"])
        things.append(coming(**each | {"day": date.fromisoformat(each["day"]), "at": at, "until": until}))
    return datetime.fromisoformat(told["made"]), told["origin"], things


def read(text: bytes) -> list[Event]:
    return [part for part in Calendar.from_ical(text).walk("VEVENT") if isinstance(part, Event)]


def only(thing: Coming) -> Any:
    (event,) = read(calendar_file([thing], MADE, ORIGIN))
    return event


def lines(event: Event) -> set[str]:
    """Its content lines unfolded; their order, and that of a rule's parts, says nothing."""
    unfolded = event.to_ical().decode().replace("\r\n ", "").split("\r\n")
    return {";".join(sorted(line.split(";"))) if line.startswith("RRULE") else line for line in unfolded}


def test_the_phone_writes_the_same_as_the_server() -> None:
    made, origin, things = examples()
    phones = read((FOLDER / "phone.ics").read_bytes())
    servers = read(calendar_file(things, made, origin))
    assert [lines(event) for event in phones] == [lines(event) for event in servers]
    assert len(phones) == len(things) > 0


def test_every_kind_of_date_is_in_the_examples() -> None:
    assert {thing.due.kind for thing in examples()[2]} == set(DUE_KINDS)


def test_lines_are_folded_at_75_octets() -> None:
    written = calendar_file([coming(name="x" * 200), coming(name="🍄é" * 100)], MADE, ORIGIN).split(b"\r\n")
    assert max(len(line) for line in written) == 75
    assert b"\n" not in b"".join(written)


@pytest.mark.parametrize(
    "name",
    ["one\ntwo", "a;b,c\\d\\n", "x" * 200, "🍄" * 200, "END:VEVENT\nBEGIN:VEVENT", '"quoted":;', "é\u2028è"],
    ids=["newline", "punctuation", "long", "emoji", "injection", "quotes", "separator"],
)
def test_a_hostile_name_comes_back_as_it_was(name: str) -> None:
    assert str(only(coming(kind="shake", name=name))["summary"]) == f"Shake: {name}"


def test_control_characters_are_left_out() -> None:
    assert str(only(coming(kind="shake", name="be\x07ll\x00\r"))["summary"]) == "Shake: bell\n"


def test_a_moment_is_written_in_utc() -> None:
    oslo = datetime.fromisoformat("2026-05-10T20:00:00+02:00")
    assert only(coming(at=oslo))["dtstart"].to_ical() == b"20260510T180000Z"


def test_a_day_has_no_hour() -> None:
    start = only(coming(kind="best_before"))["dtstart"]
    assert (start.to_ical(), start.params["VALUE"]) == (b"20260510", "DATE")


def test_a_run_of_days_ends_on_the_day_after_its_last() -> None:
    event = only(coming(kind="pick_window", day=date(2026, 2, 26), until=date(2026, 2, 28)))
    assert event["dtend"].dt == date(2026, 3, 1)


def test_what_comes_again_is_repeated_until_its_last_day() -> None:
    event = only(coming(kind="shake", until=date(2026, 6, 12), every_days=3))
    assert event["rrule"] == {"FREQ": ["DAILY"], "INTERVAL": [3], "UNTIL": [date(2026, 6, 12)]}
    assert "dtend" not in event


@pytest.mark.parametrize("kind", DUE_KINDS)
def test_only_a_soak_rings(kind: Kind) -> None:
    alarms = only(coming(kind=kind)).walk("VALARM")
    assert [alarm["trigger"].dt for alarm in alarms] == ([timedelta(0)] if kind == "soak_out" else [])


def test_the_same_thing_keeps_its_uid_when_it_moves() -> None:
    uids = {only(coming(day=date(2026, 5, day)))["uid"] for day in (10, 11)}
    assert len(uids) == 1


def test_two_dates_of_one_record_have_two_uids() -> None:
    assert only(coming(kind="strain"))["uid"] != only(coming(kind="shake"))["uid"]


def test_an_empty_calendar_is_one() -> None:
    calendar = Calendar.from_ical(calendar_file([], MADE, ORIGIN))
    assert (calendar["version"], calendar["prodid"]) == ("2.0", "-//harvestlog//harvestlog//EN")
    assert not calendar.errors
