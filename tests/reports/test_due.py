"""What falls due on a farm, from records that went the phone's way."""

from datetime import UTC, date, datetime
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from harvestlog.reports.calendar.due import Coming, coming
from tests.cast import Actor, Cast
from tests.sync.farms import phone_of, pick

NOW = datetime(2026, 5, 10, 8, tzinfo=UTC)
UTC_ZONE = ZoneInfo("UTC")
VARIETY, CELLAR, SHED = (str(uuid4()) for _ in range(3))
OYSTER = {"name": "Grey oyster", "species": "pleurotus-ostreatus"}
EXTRACT = {"mass_g": 100.0, "spirit_ml": 500.0, "spirit_pct": 95.0, "started": "2026-04-12T18:00:00Z"}


def record(actor: Actor, *rows: tuple[str, dict[str, Any]]) -> list[str]:
    """Adds these records; gives their ids."""
    phone = phone_of(actor.member)
    ids = []
    for kind, fields in rows:
        own = {**fields}
        ids.append(own.pop("id", None) or str(uuid4()))
        phone.change("add", kind, ids[-1], own)
    while phone.push():
        pass
    assert phone.parked == []
    return ids


@pytest.fixture(autouse=True)
def _around(cast: Cast) -> None:
    """A variety and two places, which the records name."""
    record(
        cast.owner,
        ("variety", {"id": VARIETY} | OYSTER),
        ("place", {"id": CELLAR, "name": "Cellar"}),
        ("place", {"id": SHED, "name": "Shed"}),
    )


def block(row: str, **more: Any) -> tuple[str, dict[str, Any]]:
    return "block", {"id": row, "label": "22222", "variety": VARIETY, "wet_g": 3000, "place": CELLAR} | more


def happening(of: str, what: str, at: str, **more: Any) -> tuple[str, dict[str, Any]]:
    return "happening", {"block": of, "what": what, "at": at} | more


def due_of(actor: Actor, now: datetime = NOW, zone: ZoneInfo = UTC_ZONE) -> list[Coming]:
    return coming(actor.member, now, zone)


def test_a_soak_says_which_block_and_where_it_stands_now(cast: Cast) -> None:
    row = str(uuid4())
    record(
        cast.owner,
        block(row),
        happening(row, "moved", "2026-05-01T08:00:00Z", place=SHED),
        happening(row, "soaked", "2026-05-09T18:00:00Z", until="2026-05-10T18:00:00Z"),
    )
    (one,) = due_of(cast.owner)
    assert (one.due.kind, one.due.key, one.due.at) == ("soak_out", row, datetime(2026, 5, 10, 18, tzinfo=UTC))
    assert (one.name, one.about) == ("22222", ("Grey oyster", "Shed"))


def test_pins_open_a_window_as_the_catalogue_says(cast: Cast) -> None:
    """Four to seven days from pins to picking: catalogue, oyster (common practice, no source)."""
    row = str(uuid4())
    record(cast.owner, block(row), happening(row, "pins_seen", "2026-05-08T08:00:00Z"))
    (one,) = due_of(cast.owner)
    assert (one.due.kind, one.due.day, one.due.until) == ("pick_window", date(2026, 5, 12), date(2026, 5, 15))


def test_a_resting_block_is_looked_at_when_its_next_flush_is_expected(cast: Cast) -> None:
    row = str(uuid4())
    record(
        cast.owner,
        block(row),
        happening(row, "opened", "2026-04-10T08:00:00Z"),
        ("pick", pick(row, at="2026-05-01T08:00:00Z")),
    )
    (one,) = due_of(cast.owner, datetime(2026, 5, 9, 8, tzinfo=UTC))
    assert one.due.kind == "look_for_pins"
    assert date(2026, 5, 9) <= one.due.day <= date(2026, 5, 15)


def test_a_load_is_named_after_the_varieties_in_it(cast: Cast) -> None:
    row, load, picked, other = (str(uuid4()) for _ in range(4))
    record(
        cast.owner,
        block(row),
        happening(row, "spent", "2026-05-09T12:00:00Z"),
        ("pick", pick(row, at="2026-05-09T08:00:00Z") | {"id": picked}),
        ("variety", {"id": other, "name": "Lion’s mane", "species": ""}),
        ("drying", {"id": load, "method": "warm_air", "started": "2026-05-09T19:00:00Z"}),
        ("drying_part", {"drying": load, "pick": picked, "wet_g": 340.0}),
        ("drying_part", {"drying": load, "variety": other, "wet_g": 200.0}),
        ("drying_part", {"drying": load, "variety": VARIETY, "wet_g": 100.0}),
        ("drying_weighing", {"drying": load, "at": "2026-05-10T07:00:00Z", "mass_g": 70.0}),
    )
    (one,) = due_of(cast.owner)
    assert (one.due.kind, one.due.at) == ("weigh_again", datetime(2026, 5, 10, 7, 30, tzinfo=UTC))
    assert set(one.name.split(", ")) == {"Grey oyster", "Lion’s mane"}


def test_a_jar_is_looked_into_until_it_is_emptied(cast: Cast) -> None:
    jar = str(uuid4())
    told = {
        "id": jar,
        "label": "J4V2N",
        "what": "Oyster",
        "dry_g": 80.0,
        "packed": "2026-05-08",
        "place": SHED,
    }
    record(cast.owner, ("jar", told))
    (one,) = due_of(cast.owner)
    assert (one.due.kind, one.name, one.about) == ("look_into_jars", "J4V2N", ("Oyster", "Shed"))
    record(cast.owner, ("taking", {"jar": jar, "at": "2026-05-09T08:00:00Z", "mass_g": 80.0}))
    assert due_of(cast.owner) == []


def test_an_extract_is_shaken_and_strained_until_somebody_strained_it(cast: Cast) -> None:
    row = str(uuid4())
    record(cast.owner, ("extract", {"id": row, "name": "Reishi, spring", "shake_days": 3} | EXTRACT))
    kinds = [(one.due.kind, one.name, f"{one.due.day}") for one in due_of(cast.owner)]
    assert kinds == [("shake", "Reishi, spring", "2026-04-15"), ("strain", "Reishi, spring", "2026-05-10")]
    record(cast.owner, ("extract_step", {"extract": row, "what": "strained", "at": "2026-05-10T07:00:00Z"}))
    assert due_of(cast.owner) == []


def test_days_are_those_of_the_zone(cast: Cast) -> None:
    """18:00 UTC is six in the morning of the next day in Auckland."""
    record(cast.owner, ("extract", {"name": "Reishi"} | EXTRACT))
    (one,) = due_of(cast.owner, zone=ZoneInfo("Pacific/Auckland"))
    assert one.due.day == date(2026, 5, 11)


def test_deleted_records_and_other_farms_have_nothing_due(cast: Cast) -> None:
    (row,) = record(cast.owner, ("extract", {"name": "Reishi"} | EXTRACT))
    assert due_of(cast.stranger) == []
    phone = phone_of(cast.owner.member)
    phone.change("delete", "extract", row, {})
    phone.push()
    assert due_of(cast.owner) == []


def test_the_reads_do_not_grow_with_the_farm(cast: Cast) -> None:
    def grow(times: int) -> int:
        for _ in range(times):
            row = str(uuid4())
            jar = {"label": "J4V2N", "dry_g": 80.0, "packed": "2026-05-08"}
            record(cast.owner, block(row), ("jar", jar), ("extract", {"name": "Reishi"} | EXTRACT))
        member = cast.owner.member
        with CaptureQueriesContext(
            connection,
        ) as asked:
            coming(member, NOW, UTC_ZONE)
        return len(asked)

    assert grow(1) == grow(3) <= 14
