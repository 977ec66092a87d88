"""A password changed by whoever knows it, and chosen anew with a code by whoever forgot it."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError

from harvestlog.accounts import actions, passwords
from harvestlog.accounts.codes import picture_of
from harvestlog.accounts.models import Deed, Invitation, Membership, Person, PersonCode
from harvestlog.accounts.passwords import CODE_LASTS, console_password_code
from tests.cast import PASSWORD, Actor, Browser, Cast, Clock, new_actor

NEW = "five-lanterns-and-a-cellar"


def signs_in(cast: Cast, password: str) -> int:
    return Browser().post("/api/session", cast.picker.sign_in | {"password": password}).status_code


def code_for(cast: Cast) -> str:
    path = f"/api/farm/people/{cast.picker.person.id}/password-code"
    return str(cast.owner.phone.post(path).json()["code"])


def test_the_address_to_choose_a_password_at_is_drawn_as_a_qr_code(cast: Cast) -> None:
    made = cast.owner.phone.post(f"/api/farm/people/{cast.picker.person.id}/password-code").json()
    assert made["picture"] == picture_of(f"http://testserver/#/password/{made['code']}")


def choose(code: str, password: str = NEW) -> tuple[int, str]:
    answer = Browser().post("/api/password", {"code": code, "password": password})
    return answer.status_code, answer.json().get("code") or answer.json()["email"]


def change(cast: Cast, old: str = PASSWORD, new: str = NEW) -> tuple[int, str]:
    answer = cast.picker.phone.post("/api/session/password", {"password": old, "new": new})
    return answer.status_code, answer.json()["code"] if answer.content else ""


def test_a_changed_password_is_the_one_that_signs_in(cast: Cast) -> None:
    assert change(cast) == (204, "")
    assert (signs_in(cast, PASSWORD), signs_in(cast, NEW)) == (401, 200)


def test_changing_it_again_when_the_answer_was_lost_is_no_mistake(cast: Cast) -> None:
    assert [change(cast), change(cast)] == [(204, ""), (204, "")]


def test_changing_it_wants_the_present_one(cast: Cast) -> None:
    assert change(cast, old="not this one") == (403, "wrong_password")
    assert signs_in(cast, PASSWORD) == 200


@pytest.mark.parametrize("new", ["short", "password123", "pia@example.org", "Mushroom2026!", "harvestlog"])
def test_a_weak_new_password_is_refused_at_its_field(new: str, cast: Cast) -> None:
    answer = cast.picker.phone.post("/api/session/password", {"password": PASSWORD, "new": new})
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "new")


def test_changing_it_signs_the_persons_other_phones_out_and_nobody_else(cast: Cast) -> None:
    for actor in (cast.pickers_second, cast.owner):
        actor.phone.token()
    change(cast)
    asked = [
        actor.phone.get("/api/farm").status_code for actor in (cast.picker, cast.pickers_second, cast.owner)
    ]
    assert asked == [200, 401, 200]


def test_changing_it_ends_codes_made_before(cast: Cast) -> None:
    code = code_for(cast)
    cast.picker.phone.post("/api/farm/pairings")
    change(cast)
    assert choose(code) == (403, "wrong_code")
    assert not PersonCode.objects.filter(used=None).exists()


def test_with_the_code_a_new_password_is_chosen(cast: Cast) -> None:
    assert choose(code_for(cast)) == (200, "pia@example.org")
    assert (signs_in(cast, PASSWORD), signs_in(cast, NEW)) == (401, 200)


def test_choosing_anew_signs_every_phone_of_the_person_out(cast: Cast) -> None:
    for actor in (cast.picker, cast.pickers_second):
        actor.phone.token()
    choose(code_for(cast))
    assert [actor.phone.get("/api/farm").status_code for actor in (cast.picker, cast.pickers_second)] == [
        401,
        401,
    ]


def test_a_code_works_once(cast: Cast) -> None:
    code = code_for(cast)
    assert [choose(code)[0], choose(code, "six-lanterns-in-a-cellar")[0]] == [200, 403]


def test_a_code_lasts_a_day(cast: Cast, clock: Clock) -> None:
    code = code_for(cast)
    clock.forward(CODE_LASTS - timedelta(seconds=1))
    assert choose(code)[0] == 200
    code = code_for(cast) if cast.owner.phone.post("/api/session/confirm", {"password": PASSWORD}) else ""
    clock.forward(CODE_LASTS)
    assert choose(code) == (403, "wrong_code")


def test_a_new_code_ends_the_former_one(cast: Cast) -> None:
    first, second = code_for(cast), code_for(cast)
    assert [choose(first)[0], choose(second)[0]] == [403, 200]


def test_a_weak_choice_does_not_use_the_code_up(cast: Cast) -> None:
    code = code_for(cast)
    assert [choose(code, "12345678")[0], choose(code)[0]] == [422, 200]


def test_a_code_is_kept_only_as_a_hash_and_carries_128_bits(cast: Cast) -> None:
    code = code_for(cast)
    assert len(code) == 22  # 22 × 6 bits hold 128
    assert code not in str(vars(PersonCode.objects.get()))


def test_a_code_for_a_phone_is_none_for_a_password(cast: Cast) -> None:
    code = cast.picker.phone.post("/api/farm/pairings").json()["code"]
    assert choose(code) == (403, "wrong_code")


def test_a_wrong_code_is_throttled(cast: Cast) -> None:
    assert [choose("x" * 22)[0] for _ in range(12)] == [403] * 10 + [429] * 2


def test_somebody_switched_off_gets_no_new_password(cast: Cast) -> None:
    code = code_for(cast)
    Person.objects.filter(id=cast.picker.person.id).update(is_active=False)
    assert choose(code) == (403, "wrong_code")


def test_who_was_removed_from_the_farm_cannot_use_its_code(cast: Cast) -> None:
    code = code_for(cast)
    cast.owner.phone.delete(f"/api/farm/people/{cast.picker.person.id}")
    assert choose(code) == (403, "wrong_code")


def test_an_owner_makes_no_code_for_who_belongs_to_somebody_elses_farm_too(cast: Cast) -> None:
    """With it they would get into that farm as well."""
    Membership.objects.create(farm=cast.stranger.farm, person=cast.picker.person, role="owner")
    answer = cast.owner.phone.post(f"/api/farm/people/{cast.picker.person.id}/password-code")
    assert (answer.status_code, answer.json()["code"]) == (409, "elsewhere_too")
    assert not PersonCode.objects.exists()


def test_an_owner_of_both_farms_may(cast: Cast) -> None:
    Membership.objects.create(farm=cast.stranger.farm, person=cast.picker.person, role="viewer")
    Membership.objects.create(farm=cast.stranger.farm, person=cast.owner.person, role="owner")
    assert choose(code_for(cast))[0] == 200


def test_another_farms_person_is_absent(cast: Cast) -> None:
    answer = cast.owner.phone.post(f"/api/farm/people/{cast.stranger.person.id}/password-code")
    assert (answer.status_code, answer.json()["code"]) == (404, "absent")


def test_whoever_runs_the_server_makes_a_code_by_e_mail_address(cast: Cast) -> None:
    code = console_password_code(" Pia@Example.org ")
    assert code is not None
    assert choose(code) == (200, "pia@example.org")
    assert console_password_code("nobody@example.org") is None


def test_it_is_written_down_who_did_what(cast: Cast) -> None:
    choose(code_for(cast))
    verbs = Deed.objects.filter(farm=cast.farm).order_by("id").values_list("verb", "by__name", "about")
    pia = str(cast.picker.person.id)
    assert list(verbs)[-2:] == [("password_code_made", "Olga", pia), ("password_set", "Pia", pia)]


def test_a_lost_race_for_one_code_changes_nothing(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    code = code_for(cast)

    def meanwhile(*_: object, **__: object) -> None:
        PersonCode.objects.update(used=PersonCode.objects.get().made)

    monkeypatch.setattr("harvestlog.accounts.passwords.refuse_weak", meanwhile)
    assert choose(code) == (403, "wrong_code")
    assert signs_in(cast, PASSWORD) == 200


def test_the_rules_for_a_password_ask_for_length_and_no_kinds_of_characters() -> None:
    from django.contrib.auth.password_validation import validate_password

    for fine in ("lanternlantern", "        lamp        ", "八つのきのこと灯り", "x" * 40 + "y" * 24):
        validate_password(fine)
    with pytest.raises(ValidationError):
        validate_password("seven77")


class TestACodeThatAnOwnerMadeForAnother:
    """It opens that person's whole farm, so it ends with whatever ends its maker's word."""

    @pytest.fixture
    def tom(self, cast: Cast) -> Actor:
        return new_actor("Tom", cast.farm, "owner")

    @pytest.fixture
    def code(self, cast: Cast, tom: Actor) -> str:
        _, text = passwords.make_password_code(by=tom.member, person_id=cast.owner.person.id)
        return text

    def test_ends_when_its_maker_is_removed(self, cast: Cast, tom: Actor, code: str) -> None:
        actions.remove_person(by=cast.owner.member, person_id=tom.person.id)
        assert choose(code) == (403, "wrong_code")

    def test_ends_when_its_maker_is_no_owner_any_more(self, cast: Cast, tom: Actor, code: str) -> None:
        actions.change_role(by=cast.owner.member, person_id=tom.person.id, role="viewer")
        assert choose(code) == (403, "wrong_code")

    def test_ends_with_its_makers_password(self, tom: Actor, code: str) -> None:
        passwords.change_password(by=tom.member, password=PASSWORD, new=NEW, address="192.0.2.1")
        assert choose(code) == (403, "wrong_code")


def test_an_open_invitation_ends_with_its_makers_password(cast: Cast) -> None:
    actions.invite(by=cast.owner.member, role="owner")
    passwords.change_password(by=cast.owner.member, password=PASSWORD, new=NEW, address="192.0.2.1")
    assert not Invitation.objects.filter(farm=cast.farm).exists()


def test_guessing_a_password_by_changing_it_is_throttled_like_any_guessing(cast: Cast) -> None:
    answers = [change(cast, old="a-first-wrong-guess", new="another-wrong-guess") for _ in range(11)]
    assert answers[0] == (403, "wrong_password")
    assert answers[-1] == (429, "slow_down")
