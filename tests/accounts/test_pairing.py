"""Another phone of one's own, signed in by a code that the first one shows."""

import base64
import re
from datetime import timedelta
from threading import Barrier, Thread
from urllib.parse import unquote
from uuid import uuid4

import pytest
from django.db import connection

from harvestlog.accounts.models import Deed, Membership, Person, PersonCode, Phone
from harvestlog.accounts.pairing import MOST_PAIRINGS, PAIRING_LASTS
from tests.cast import Browser, Cast, Clock, Json

RACERS = 100


def shown(cast: Cast) -> Json:
    made: Json = cast.picker.phone.post("/api/farm/pairings").json()
    return made


def scan(code: str, browser: Browser | None = None, device: str = "") -> tuple[int, Json]:
    body = {"code": code, "device": device or str(uuid4()), "device_name": "New phone"}
    answer = (browser or Browser()).post("/api/pair", body)
    return answer.status_code, answer.json()


def test_the_new_phone_is_signed_in_as_the_same_person_in_the_same_role(cast: Cast) -> None:
    status, said = scan(shown(cast)["code"])
    assert status == 200
    assert (said["person"]["name"], said["farm"]["name"], said["farm"]["role"]) == (
        "Pia",
        "Alder Yard",
        "picker",
    )


def test_it_is_a_phone_of_its_own_beside_the_first(cast: Cast) -> None:
    code, device = shown(cast)["code"], str(uuid4())
    scan(code, device=device)
    phones = cast.picker.phone.get("/api/farm").json()["phones"]
    assert {phone["device"] for phone in phones} == {str(cast.picker.device), device}
    assert cast.picker.phone.get("/api/farm").status_code == 200


def test_the_new_phone_is_asked_for_the_password_before_a_sensitive_act(cast: Cast) -> None:
    new = Browser()
    scan(cast.owner.phone.post("/api/farm/pairings").json()["code"], new)
    answer = new.post("/api/farm/invitations", {"role": "owner"})
    assert (answer.status_code, answer.json()["code"]) == (403, "confirm")


def test_a_code_carries_128_bits_and_is_kept_only_as_a_hash(cast: Cast) -> None:
    code = shown(cast)["code"]
    assert len(code) == 22  # 22 × 6 bits hold 128
    assert code not in str(vars(PersonCode.objects.get()))


def test_the_code_is_drawn_on_the_server_as_an_svg(cast: Cast) -> None:
    picture = shown(cast)["picture"]
    kind, _, data = picture.partition(",")
    assert kind.startswith("data:image/svg+xml")
    svg = base64.b64decode(data).decode() if "base64" in kind else unquote(data)
    assert re.match(r"(<\?xml[^>]*>\s*)?<svg ", svg)
    assert "script" not in svg


def test_a_code_signs_one_phone_in(cast: Cast) -> None:
    code = shown(cast)["code"]
    assert [scan(code)[0], scan(code)[0]] == [200, 403]


@pytest.mark.parametrize(("short_of", "status"), [(1, 200), (0, 403)])
def test_a_code_lasts_ten_minutes(short_of: int, status: int, cast: Cast, clock: Clock) -> None:
    code = shown(cast)["code"]
    clock.forward(PAIRING_LASTS - timedelta(seconds=short_of))
    assert scan(code)[0] == status
    assert timedelta(minutes=10) >= PAIRING_LASTS


def test_an_open_code_is_listed_and_can_be_taken_back(cast: Cast) -> None:
    made = shown(cast)
    listed = cast.picker.phone.get("/api/farm").json()["pairings"]
    assert [(row["id"], row["person"]) for row in listed] == [(made["id"], str(cast.picker.person.id))]
    assert cast.picker.phone.delete(f"/api/farm/pairings/{made['id']}").status_code == 204
    assert scan(made["code"])[0] == 403
    assert cast.picker.phone.get("/api/farm").json()["pairings"] == []


def test_an_owner_sees_everybodys_open_codes_and_takes_them_back(cast: Cast) -> None:
    made = shown(cast)
    assert [row["id"] for row in cast.owner.phone.get("/api/farm").json()["pairings"]] == [made["id"]]
    assert cast.owner.phone.delete(f"/api/farm/pairings/{made['id']}").status_code == 204


def test_others_neither_see_nor_take_back_somebody_elses_code(cast: Cast) -> None:
    made = shown(cast)
    assert cast.viewer.phone.get("/api/farm").json()["pairings"] == []
    for actor in (cast.viewer, cast.stranger):
        assert actor.phone.delete(f"/api/farm/pairings/{made['id']}").status_code == 404


def test_a_used_or_old_code_is_listed_no_more(cast: Cast, clock: Clock) -> None:
    scan(shown(cast)["code"])
    shown(cast)
    clock.forward(PAIRING_LASTS)
    assert cast.picker.phone.get("/api/farm").json()["pairings"] == []


def test_signing_out_the_phone_that_showed_a_code_ends_the_code(cast: Cast) -> None:
    code = shown(cast)["code"]
    cast.owner.phone.delete(f"/api/farm/phones/{cast.picker.device}")
    assert scan(code)[0] == 403


def test_a_paired_phone_can_be_signed_out(cast: Cast) -> None:
    new, device = Browser(), str(uuid4())
    scan(shown(cast)["code"], new, device)
    assert cast.picker.phone.delete(f"/api/farm/phones/{device}").status_code == 204
    assert new.get("/api/farm").status_code == 401


def test_who_was_removed_meanwhile_gets_no_phone_in(cast: Cast) -> None:
    code = shown(cast)["code"]
    Membership.objects.filter(person=cast.picker.person).delete()
    assert scan(code)[0] == 403
    assert not Phone.objects.filter(name="New phone").exists()


def test_who_was_switched_off_meanwhile_gets_no_phone_in(cast: Cast) -> None:
    code = shown(cast)["code"]
    Person.objects.filter(id=cast.picker.person.id).update(is_active=False)
    assert scan(code)[0] == 403


def test_a_password_code_pairs_no_phone(cast: Cast) -> None:
    path = f"/api/farm/people/{cast.picker.person.id}/password-code"
    assert scan(cast.owner.phone.post(path).json()["code"])[0] == 403


def test_only_a_few_codes_are_open_at_once(cast: Cast) -> None:
    made = [cast.picker.phone.post("/api/farm/pairings").status_code for _ in range(MOST_PAIRINGS + 1)]
    assert made == [200] * MOST_PAIRINGS + [409]


def test_a_demo_farm_stays_on_its_phone(visitor: Browser, db: None, settings) -> None:
    settings.DEMO_MAKER = "tests.accounts.test_demo.bare_demo"
    visitor.post("/api/demo", {"device": str(uuid4()), "device_name": "Tablet"})
    assert visitor.post("/api/farm/pairings").json()["code"] == "not_allowed"


def test_wrong_codes_are_throttled(cast: Cast) -> None:
    assert [scan("x" * 22)[0] for _ in range(12)] == [403] * 10 + [429] * 2


def test_it_is_written_down(cast: Cast) -> None:
    scan(shown(cast)["code"])
    verbs = Deed.objects.filter(farm=cast.farm).order_by("id").values_list("verb", flat=True)
    assert list(verbs)[-3:] == ["pairing_made", "phone_paired", "signed_in"]


@pytest.mark.django_db(transaction=True)
def test_of_a_hundred_racers_for_one_code_one_wins(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    # The throttle would stop most of them before they race; what is tried here is the code itself.
    monkeypatch.setattr("harvestlog.accounts.pairing.throttle.knock", lambda **_: PersonCode())
    monkeypatch.setattr(PersonCode, "delete", lambda self: (0, {}))
    code = shown(cast)["code"]
    statuses: list[int] = []
    browsers = [Browser() for _ in range(RACERS)]
    for browser in browsers:
        browser.token()
    start = Barrier(10, timeout=60)

    def race(mine: list[Browser]) -> None:
        for browser in mine:
            start.wait()
            statuses.append(scan(code, browser)[0])
        connection.close()

    threads = [Thread(target=race, args=(browsers[lane::10],)) for lane in range(10)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(statuses) == [200] + [403] * (RACERS - 1)
    assert Phone.objects.filter(name="New phone").count() == 1
