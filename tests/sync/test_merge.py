"""Which of two values stands."""

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harvestlog.sync.merge import Stamp, clamped, merge

NOON = datetime(2026, 5, 1, 12, tzinfo=UTC)
MORNING, EVENING = (clamped(NOON + timedelta(hours=h), NOON + timedelta(days=1)) for h in (-4, 6))


def settle(theirs: Stamp, mine: Stamp, base: int) -> str:
    merged = merge({"note": theirs.listed()}, {"note": "mine"}, mine, base)
    return "mine" if "note" in merged.written else "theirs"


def test_a_field_nobody_wrote_takes_the_value() -> None:
    merged = merge({}, {"note": "damp"}, Stamp(4, "phone-a", MORNING, "op-1"), base=0)
    assert merged.written == {"note": "damp"}


def test_who_saw_the_old_value_may_change_it_even_with_a_slow_clock() -> None:
    assert (
        settle(Stamp(5, "phone-b", EVENING, "op-1"), Stamp(6, "phone-a", MORNING, "op-2"), base=5) == "mine"
    )


def test_of_two_concurrent_values_the_later_one_stands() -> None:
    assert (
        settle(Stamp(5, "phone-b", EVENING, "op-1"), Stamp(6, "phone-a", MORNING, "op-2"), base=4) == "theirs"
    )
    assert (
        settle(Stamp(5, "phone-b", MORNING, "op-1"), Stamp(6, "phone-a", EVENING, "op-2"), base=4) == "mine"
    )


def test_at_the_same_moment_the_operation_id_decides() -> None:
    assert (
        settle(
            Stamp(5, "phone-b", NOON.isoformat(), "op-9"), Stamp(6, "phone-a", NOON.isoformat(), "op-2"), 0
        )
        == "theirs"
    )
    assert (
        settle(
            Stamp(5, "phone-b", NOON.isoformat(), "op-1"), Stamp(6, "phone-a", NOON.isoformat(), "op-2"), 0
        )
        == "mine"
    )


def test_a_phone_never_conflicts_with_itself() -> None:
    assert (
        settle(Stamp(5, "phone-a", EVENING, "op-9"), Stamp(6, "phone-a", MORNING, "op-2"), base=0) == "mine"
    )


def test_each_field_is_settled_on_its_own() -> None:
    stamps = {"note": [5, "phone-b", EVENING, "op-1"], "name": [2, "phone-b", EVENING, "op-0"]}
    merged = merge(stamps, {"note": "damp", "name": "Tent"}, Stamp(6, "phone-a", MORNING, "op-2"), base=4)
    assert (merged.written, merged.lost) == ({"name": "Tent"}, {"note": "damp"})


def test_a_clock_that_runs_ahead_wins_nothing_beyond_now() -> None:
    assert clamped(NOON + timedelta(days=3650), NOON) == clamped(NOON, NOON)


@pytest.fixture
def server_in_kolkata(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with monkeypatch.context() as patch:
        patch.setenv("TZ", "Asia/Kolkata")
        time.tzset()
        yield
    time.tzset()


@pytest.mark.usefixtures("server_in_kolkata")
def test_a_time_is_written_the_same_whatever_zone_the_server_stands_in() -> None:
    assert clamped(NOON, NOON) == "2026-05-01T12:00:00.000000+00:00"


def test_a_time_is_written_the_same_whatever_zone_the_phone_stands_in() -> None:
    tokyo = NOON.astimezone(timezone(timedelta(hours=9)))
    assert clamped(tokyo, NOON + timedelta(hours=1)) == clamped(NOON, NOON)


@pytest.mark.parametrize("fraction", [0, 1, 500_000])
def test_times_compare_as_texts(fraction: int) -> None:
    later = NOON + timedelta(seconds=1)
    assert clamped(NOON + timedelta(microseconds=fraction), later) < clamped(later, later)


@given(st.lists(st.tuples(st.sampled_from("ab"), st.integers(0, 5)), min_size=2, max_size=2, unique=True))
def test_two_concurrent_writes_end_alike_in_either_order(writes: list[tuple[str, int]]) -> None:
    """What stands must not depend on which of two phones was heard first."""
    ends = set()
    for order in (writes, writes[::-1]):
        stamps: dict[str, list[object]] = {}
        for seq, (phone, hour) in enumerate(order, start=1):
            mine = Stamp(
                seq,
                phone,
                clamped(NOON + timedelta(hours=hour), NOON + timedelta(days=1)),
                f"op-{phone}{hour}",
            )
            if merge(stamps, {"note": phone}, mine, base=0).written:
                stamps["note"] = mine.listed()
        ends.add(str(stamps["note"][3]))
    same_phone = writes[0][0] == writes[1][0]
    assert same_phone or len(ends) == 1


def test_a_group_is_lost_whole_when_a_later_value_stands_in_one_of_its_fields() -> None:
    stamps = {"wet_g": [3, "phone-b", MORNING, "op-0"], "typed": [5, "phone-b", EVENING, "op-1"]}
    mine = Stamp(6, "phone-a", NOON.isoformat(), "op-2")
    sent = {"wet_g": 900, "typed": "900 g"}
    merged = merge(stamps, sent, mine, 4, (frozenset({"dry_g", "dry_typed"}), frozenset(sent)))
    assert (merged.written, merged.lost) == ({}, sent)


def test_fields_that_belong_together_are_lost_together() -> None:
    stamps = {"dry_g": [5, "phone-b", EVENING, "op-1"]}
    mine = Stamp(6, "phone-a", MORNING, "op-2")
    merged = merge(
        stamps, {"dry_basis": "oven", "note": "damp"}, mine, 4, (frozenset({"dry_basis", "dry_g"}),)
    )
    assert (merged.written, merged.lost) == ({"note": "damp"}, {"dry_basis": "oven"})
