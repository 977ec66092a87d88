"""The secret address of a calendar: who may make it, what it gives, and when it is dead."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from icalendar import Calendar

from harvestlog.accounts.models import Deed
from harvestlog.reports.models import CalendarFeed
from tests.cast import Actor, Browser, Cast, Clock
from tests.sync.farms import phone_of

NAME = "Reishi; spring,\\ one 🍄"


def address(actor: Actor, **wanted: str) -> str:
    answer = actor.phone.post("/api/reports/calendar", wanted)
    assert answer.status_code == 201
    told: str = answer.json()["address"]
    return told


def steep(actor: Actor, started: str = "2026-04-12T18:00:00Z") -> str:
    """An extract, which falls due for straining 28 days on."""
    row = str(uuid4())
    own = {"name": NAME, "mass_g": 100.0, "spirit_ml": 500.0, "spirit_pct": 95.0, "started": started}
    phone = phone_of(actor.member)
    phone.change("add", "extract", row, own)
    phone.push()
    return row


def events(path: str) -> list[Any]:
    answer = Browser().get(path)
    assert answer.status_code == 200
    return list(Calendar.from_ical(answer.content).walk("VEVENT"))


@pytest.mark.parametrize("who", ["owner", "picker", "viewer"])
def test_every_member_has_an_address_of_their_own(cast: Cast, who: str) -> None:
    row = steep(cast.owner)
    (event,) = events(address(getattr(cast, who)))
    assert (event["uid"], str(event["summary"])) == (f"strain-{row}@harvestlog", f"Strain: {NAME}")


def test_a_strangers_calendar_shows_a_strangers_farm(cast: Cast) -> None:
    steep(cast.owner)
    assert events(address(cast.stranger)) == []


def test_days_are_those_of_the_zone_that_was_given(cast: Cast) -> None:
    steep(cast.owner)
    (event,) = events(address(cast.owner, zone="Pacific/Auckland"))
    assert f"{event['dtstart'].dt}" == "2026-05-11"


def test_a_zone_that_does_not_exist_is_refused(cast: Cast) -> None:
    answer = cast.owner.phone.post("/api/reports/calendar", {"zone": "Mars/Crater"})
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "zone")


def test_each_entry_links_to_its_record(cast: Cast) -> None:
    row = steep(cast.owner)
    (event,) = events(address(cast.owner))
    assert event["url"] == f"http://testserver/#/extract/{row}"


def test_a_new_address_ends_the_former_one(cast: Cast, visitor: Browser) -> None:
    former = address(cast.owner)
    address(cast.owner)
    assert visitor.get(former).status_code == 404


def test_one_members_new_address_leaves_anothers_alone(cast: Cast, visitor: Browser) -> None:
    theirs = address(cast.picker)
    address(cast.owner)
    assert visitor.get(theirs).status_code == 200


def test_a_revoked_address_is_gone_and_revoking_twice_is_fine(cast: Cast, visitor: Browser) -> None:
    path = address(cast.owner)
    assert [cast.owner.phone.delete("/api/reports/calendar").status_code for _ in range(2)] == [204, 204]
    assert visitor.get(path).status_code == 404


def test_wrong_and_revoked_addresses_cannot_be_told_apart(cast: Cast, visitor: Browser) -> None:
    path = address(cast.owner)
    cast.owner.phone.delete("/api/reports/calendar")
    wrong, revoked = visitor.get(f"/c/{'A' * 43}.ics"), visitor.get(path)
    assert wrong.status_code == revoked.status_code == 404
    assert (wrong.content, dict(wrong.headers)) == (revoked.content, dict(revoked.headers))


def test_whoever_is_removed_can_read_no_more_even_after_coming_back(cast: Cast, visitor: Browser) -> None:
    path = address(cast.picker)
    assert cast.owner.phone.delete(f"/api/farm/people/{cast.picker.person.id}").status_code == 204
    assert visitor.get(path).status_code == 404
    cast.picker.person.memberships.create(farm=cast.farm, role="picker")
    assert visitor.get(path).status_code == 404


def test_whoever_is_switched_off_can_read_no_more(cast: Cast, visitor: Browser) -> None:
    path = address(cast.picker)
    cast.picker.person.is_active = False
    cast.picker.person.save()
    assert visitor.get(path).status_code == 404


def test_the_token_is_random_and_kept_only_as_a_hash(cast: Cast) -> None:
    one, two = address(cast.owner), address(cast.picker)
    token = one.removeprefix("/c/").removesuffix(".ics")
    assert len(token) == 43  # 256 bits in base 64
    assert one != two
    assert token not in str(list(CalendarFeed.objects.values()) + list(Deed.objects.values()))


def test_nobody_signed_out_may_ask_for_an_address(visitor: Browser) -> None:
    assert visitor.post("/api/reports/calendar", {}).status_code == 401
    assert visitor.get("/api/reports/calendar").status_code == 401
    assert visitor.delete("/api/reports/calendar").status_code == 401


def test_the_page_says_when_it_was_made_and_last_read(cast: Cast, clock: Clock) -> None:
    page = "/api/reports/calendar"
    assert cast.owner.phone.get(page).json() == {"made": None, "last_read": None, "zone": None}
    path = address(cast.owner, zone="Europe/Oslo")
    made = clock.moment
    clock.forward(timedelta(hours=3))
    Browser().get(path)
    told = cast.owner.phone.get(page).json()
    assert told["zone"] == "Europe/Oslo"
    assert [told["made"], told["last_read"]] == [
        f"{moment:%Y-%m-%dT%H:%M:%S}.{moment.microsecond // 1000:03}Z" for moment in (made, clock.moment)
    ]


def test_it_is_kept_by_no_cache_found_by_no_search_and_sets_no_cookie(cast: Cast, visitor: Browser) -> None:
    answer = visitor.get(address(cast.owner))
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert "no-store" in answer["Cache-Control"]
    assert "noindex" in answer["X-Robots-Tag"]
    assert answer["Referrer-Policy"] == "no-referrer"
    assert not answer.cookies


def test_what_is_unchanged_is_not_sent_again(cast: Cast, clock: Clock) -> None:
    clock.moment = clock.moment.replace(hour=8)
    path = address(cast.owner)
    mark = Browser().get(path)["ETag"]
    clock.forward(timedelta(hours=1))
    client = Browser().client
    again = client.get(path, headers={"If-None-Match": mark})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", mark)
    steep(cast.owner, f"{clock.moment - timedelta(days=10):%Y-%m-%dT%H:%M:%SZ}")
    assert client.get(path, headers={"If-None-Match": mark}).status_code == 200


def test_it_can_only_be_read(cast: Cast) -> None:
    path = address(cast.owner)
    assert cast.owner.phone.post(path, {}).status_code == 405
    assert Browser().client.head(path).status_code == 200


def test_making_and_revoking_are_noted(cast: Cast) -> None:
    address(cast.owner)
    cast.owner.phone.delete("/api/reports/calendar")
    cast.owner.phone.delete("/api/reports/calendar")
    verbs = Deed.objects.filter(verb__startswith="calendar").order_by("id").values_list("verb", flat=True)
    assert list(verbs) == ["calendar_made", "calendar_revoked"]
