"""Everything that falls due."""

from dataclasses import asdict
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from harvestlog.calc.due import BlockFacts, Due, Expected, ExtractFacts, Facts, JarFacts, LoadFacts, due
from harvestlog.calc.states import Noted, PickedAt, Seen
from tests.calc.worked import examples


def instant(text):
    return text and datetime.fromisoformat(text)


def facts_of(each) -> Facts:
    of, key = each["of"], each["key"]
    if of == "jar":
        best_before = each["best_before"] and date.fromisoformat(each["best_before"])
        packed = date.fromisoformat(each["packed"])
        return JarFacts(key=key, packed=packed, left_g=each["left_g"], best_before=best_before)
    if of == "load":
        weighings = [(instant(w["at"]), w["mass_g"]) for w in each["weighings"]]
        return LoadFacts(key=key, ended=each["ended"], step_g=each["step_g"], weighings=weighings)
    if of == "extract":
        steps = [(step["what"], instant(step["at"])) for step in each["steps"]]
        own = {name: each[name] for name in ("steep_low_days", "steep_high_days", "shake_days")}
        return ExtractFacts(key=key, started=instant(each["started"]), steps=steps, **own)
    following = each["next"]
    return BlockFacts(
        key=key,
        happenings=[Noted(h["what"], instant(h["at"]), instant(h.get("until"))) for h in each["happenings"]],
        picks=[PickedAt(instant(pick["at"]), pick["flush"]) for pick in each["picks"]],
        photos=[Seen(photo["stage"], instant(photo["taken"])) for photo in each["photos"]],
        pin_days=each["pin_days"] and tuple(each["pin_days"]),
        next=following and Expected(**following | {"first_day": date.fromisoformat(following["first_day"])}),
    )


def told(one: Due):
    return {
        name: f"{value:%Y-%m-%dT%H:%M:%SZ}"
        if isinstance(value, datetime)
        else f"{value}"
        if isinstance(value, date)
        else value
        for name, value in asdict(one).items()
    }


@pytest.mark.parametrize("case", examples("due"))
def test_worked_example(case):
    found = due([facts_of(each) for each in case["facts"]], instant(case["now"]), datetime.date)
    assert [told(one) for one in found] == case["expect"]


def test_days_are_those_of_the_growers_calendar():
    """22:30 in London's winter is the next day in Auckland."""
    at = datetime(2026, 1, 10, 22, 30, tzinfo=UTC)
    load = LoadFacts(key="l", ended=False, step_g=1, weighings=[(at, 130.0)])
    zone = ZoneInfo("Pacific/Auckland")
    (one,) = due([load], at, lambda moment: moment.astimezone(zone).date())
    assert (one.day, one.at) == (date(2026, 1, 11), datetime(2026, 1, 10, 23, tzinfo=UTC))
