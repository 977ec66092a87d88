"""The state of a block, from what was noted, picked and photographed."""

from datetime import UTC, datetime, timedelta

import pytest

from harvestlog.calc import errors
from harvestlog.calc.states import (
    Noted,
    PickedAt,
    Seen,
    block_state,
    contaminated_since,
    flush_to_pick,
    open_flush,
    pins_since,
)
from tests.calc.worked import examples

NOON = datetime(2026, 4, 20, 12, tzinfo=UTC)


def instant(text):
    return text and datetime.fromisoformat(text)


def happenings(case):
    return [Noted(h["what"], instant(h["at"]), instant(h.get("until"))) for h in case["happenings"]]


def recorded(case):
    """What a worked example notes, picks and photographs, and its moment."""
    picks = [PickedAt(instant(p["at"]), p["flush"]) for p in case["picks"]]
    photos = [Seen(p["stage"], instant(p["taken"])) for p in case["photos"]]
    return happenings(case), picks, photos, instant(case["now"])


@pytest.mark.parametrize("case", examples("states"))
def test_worked_example(case):
    assert block_state(*recorded(case)) == case["expect"]


@pytest.mark.parametrize("case", examples("states", "flush_to_pick"))
def test_flush_of_the_next_pick(case):
    assert flush_to_pick(*recorded(case)) == case["expect"]


@pytest.mark.parametrize("case", examples("states", "pins_since"))
def test_since_when_pins_or_caps_stand(case):
    assert pins_since(*recorded(case)) == instant(case["expect"])


@pytest.mark.parametrize("case", examples("states", "contaminated_since"))
def test_contamination_that_nobody_has_dealt_with(case):
    assert contaminated_since(happenings(case), instant(case["now"])) == instant(case["expect"])


@pytest.mark.parametrize("case", examples("states", "open_flush"))
def test_open_flush(case):
    picks = [PickedAt(NOON, flush) for flush in case["flushes"]]
    if "refuses" in case:
        with pytest.raises(getattr(errors, case["refuses"])):
            open_flush(picks)
    else:
        assert open_flush(picks) == case["expect"]


def test_order_of_the_records_does_not_matter():
    soaked, spent = Noted("soaked", NOON), Noted("spent", NOON - timedelta(days=1))
    states = {block_state(happenings, [], [], NOON) for happenings in ([soaked, spent], [spent, soaked])}
    assert states == {"soaking"}


@pytest.mark.parametrize(
    ("noted", "now"),
    [
        (Noted("opened", datetime(2026, 4, 1)), NOON),  # noqa: DTZ001 - the missing zone is the point
        (Noted("soaked", NOON, datetime(2026, 4, 21)), NOON),  # noqa: DTZ001
        (Noted("opened", NOON), datetime(2026, 4, 21)),  # noqa: DTZ001
    ],
)
def test_an_instant_without_a_time_zone_is_refused(noted, now):
    with pytest.raises(errors.NotATime, match="has no time zone"):
        block_state([noted], [], [], now)
