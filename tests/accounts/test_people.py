"""Who may do what with the farm and its people."""

from threading import Barrier, Thread
from uuid import uuid4

import pytest
from django.db import connection

from harvestlog.accounts import actions, passwords
from harvestlog.accounts.access import Member
from harvestlog.accounts.models import Farm, Membership
from harvestlog.accounts.refusals import Refused
from tests.accounts.operations import ANY_ID, Operation, every_operation
from tests.cast import Actor, Browser, Cast, Json, new_actor

# What each operation on a farm's people answers to (owner, picker, viewer), given a body that is right.
ROLES: dict[str, tuple[int, int, int]] = {
    "GET /api/farm": (200, 200, 200),
    "PATCH /api/farm": (200, 403, 403),
    "POST /api/farm/invitations": (200, 403, 403),
    "DELETE /api/farm/invitations/{invitation}": (204, 403, 403),
    "PATCH /api/farm/people/{person}": (200, 403, 403),
    "DELETE /api/farm/people/{person}": (204, 403, 403),
    "POST /api/farm/people/{person}/password-code": (200, 403, 403),
    "POST /api/farm/pairings": (200, 200, 200),
    "DELETE /api/farm/pairings/{pairing_id}": (204, 404, 404),  # the owner's own
    "DELETE /api/farm/phones/{device}": (204, 404, 404),  # the picker's second phone, if one may see it
}
BODIES: dict[str, Json] = {
    "PATCH /api/farm": {"name": "Alder Yard"},
    "POST /api/farm/invitations": {"role": "viewer"},
    "PATCH /api/farm/people/{person}": {"role": "viewer"},
}
FARM = [
    operation
    for operation in every_operation()
    if operation.path.startswith("/api/farm") and not operation.path.startswith("/api/farm/copies")
]
GUARDED = [operation for operation in every_operation() if operation.guarded]
every_farm_operation = pytest.mark.parametrize("operation", FARM, ids=str)


def ask(browser: Browser, operation: Operation, **ids: object) -> int:
    if operation.method == "GET":
        return browser.get(operation.url(**ids)).status_code
    if operation.method == "PUT":
        return browser.put(operation.url(**ids), b"", "image/jpeg").status_code
    return browser.send(operation.method, operation.url(**ids), BODIES.get(str(operation))).status_code


def ids_of(farm: Actor, person: Actor) -> Json:
    """The owner of a farm, and what of it an operation may be aimed at."""
    invitation = farm.phone.post("/api/farm/invitations", {"role": "viewer"}).json()["id"]
    person.phone.get("/api/session")
    pairing = farm.phone.post("/api/farm/pairings").json()["id"]
    return {
        "pairing_id": pairing,
        "invitation": invitation,
        "person": person.person.id,
        "device": person.device,
    }


def test_every_operation_is_guarded_but_the_ways_in() -> None:
    assert {str(operation) for operation in every_operation() if not operation.guarded} == {
        "GET /api/session", "POST /api/session", "DELETE /api/session",
        "POST /api/setup", "POST /api/demo", "POST /api/join",
        "POST /api/password", "POST /api/pair",
    }  # fmt: skip


def test_every_farm_operation_has_its_row_here() -> None:
    assert {str(operation) for operation in FARM} == set(ROLES)


@every_farm_operation
@pytest.mark.parametrize("role", ["owner", "picker", "viewer"])
def test_a_role_may_do_what_its_row_says(role: str, operation: Operation, cast: Cast) -> None:
    actor: Actor = getattr(cast, role)
    ids = ids_of(cast.owner, cast.pickers_second)
    # The picker's second phone is the picker's own; somebody else's is out of sight.
    if role == "picker":
        cast.viewer.phone.get("/api/session")
        ids["device"] = cast.viewer.device
    assert (
        ask(actor.phone, operation, **ids) == ROLES[str(operation)][["owner", "picker", "viewer"].index(role)]
    )


@every_farm_operation
def test_another_farms_people_are_absent(operation: Operation, cast: Cast) -> None:
    if "{" not in operation.path:
        return
    ids = ids_of(cast.stranger, cast.stranger)
    assert ask(cast.owner.phone, operation, **ids) == 404


@pytest.mark.parametrize("operation", GUARDED, ids=str)
@pytest.mark.parametrize("who", ["signed out", "removed", "phone revoked", "switched off"])
def test_whoever_is_not_a_member_any_more_is_signed_out(who: str, operation: Operation, cast: Cast) -> None:
    browser = cast.picker.phone
    assert browser.get("/api/farm").status_code == 200
    if who == "signed out":
        browser = Browser()
    elif who == "removed":
        cast.owner.phone.delete(f"/api/farm/people/{cast.picker.person.id}")
    elif who == "phone revoked":
        cast.owner.phone.delete(f"/api/farm/phones/{cast.picker.device}")
    else:
        cast.picker.person.is_active = False
        cast.picker.person.save()
    assert ask(browser, operation) == 401


def test_an_owner_sees_everybody(cast: Cast) -> None:
    cast.picker.phone.get("/api/session")
    invitation = cast.owner.phone.post("/api/farm/invitations", {"role": "viewer"}).json()
    page = cast.owner.phone.get("/api/farm").json()
    assert [(row["name"], row["email"], row["role"], row["you"]) for row in page["people"]] == [
        ("Olga", "olga@example.org", "owner", True),
        ("Pia", "pia@example.org", "picker", False),
        ("Vito", "vito@example.org", "viewer", False),
    ]
    assert {(row["name"], row["this"]) for row in page["phones"]} == {
        ("Olga's phone", True),
        ("Pia's phone", False),
    }
    assert [row["id"] for row in page["invitations"]] == [invitation["id"]]


def test_the_farm_page_never_shows_an_invitations_code(cast: Cast) -> None:
    code = cast.owner.phone.post("/api/farm/invitations", {"role": "viewer"}).json()["code"]
    assert code not in cast.owner.phone.get("/api/farm").content.decode()


def test_a_picker_sees_names_and_only_their_own_address_and_phones(cast: Cast) -> None:
    cast.owner.phone.post("/api/farm/invitations", {"role": "viewer"})
    cast.pickers_second.phone.get("/api/session")
    page = cast.picker.phone.get("/api/farm").json()
    assert [(row["name"], row["email"]) for row in page["people"]] == [
        ("Olga", None), ("Pia", "pia@example.org"), ("Vito", None),
    ]  # fmt: skip
    assert {row["device"] for row in page["phones"]} == {
        str(cast.picker.device),
        str(cast.pickers_second.device),
    }
    assert page["invitations"] == []


def test_nobody_of_another_farm_is_seen(cast: Cast) -> None:
    cast.stranger.phone.get("/api/session")
    assert "Stella" not in cast.owner.phone.get("/api/farm").content.decode()


def test_a_farm_page_asks_the_database_the_same_number_of_times_for_many_people(
    cast: Cast, django_assert_max_num_queries
) -> None:
    from tests.cast import new_actor

    for number in range(20):
        new_actor(f"Helper{number}", cast.farm, "viewer")
    _ = cast.owner.phone
    with django_assert_max_num_queries(7):
        cast.owner.phone.get("/api/farm")


def test_the_farm_is_renamed_and_its_currency_left_alone(cast: Cast) -> None:
    assert cast.owner.phone.patch("/api/farm", {"name": " New Yard "}).json()["name"] == "New Yard"
    farm = Farm.objects.get(id=cast.farm.id)
    assert (farm.name, farm.currency) == ("New Yard", "EUR")


def test_a_role_is_changed_at_once(cast: Cast) -> None:
    cast.picker.phone.get("/api/session")
    cast.owner.phone.patch(f"/api/farm/people/{cast.picker.person.id}", {"role": "viewer"})
    assert cast.picker.phone.get("/api/session").json()["farm"]["role"] == "viewer"


@pytest.mark.parametrize(("method", "body"), [("PATCH", {"role": "picker"}), ("DELETE", None)])
def test_the_last_owner_stays(method: str, body: Json | None, cast: Cast) -> None:
    answer = cast.owner.phone.send(method, f"/api/farm/people/{cast.owner.person.id}", body)
    assert (answer.status_code, answer.json()["code"]) == (409, "last_owner")
    assert Membership.objects.get(farm=cast.farm, person=cast.owner.person).role == "owner"


def test_the_last_owner_may_be_made_owner_again(cast: Cast) -> None:
    assert (
        cast.owner.phone.patch(f"/api/farm/people/{cast.owner.person.id}", {"role": "owner"}).status_code
        == 200
    )


def test_an_owner_of_two_may_step_back(cast: Cast) -> None:
    cast.owner.phone.patch(f"/api/farm/people/{cast.picker.person.id}", {"role": "owner"})
    page = cast.owner.phone.patch(f"/api/farm/people/{cast.owner.person.id}", {"role": "viewer"}).json()
    assert page["role"] == "viewer"
    assert cast.owner.phone.patch("/api/farm", {"name": "Mine"}).status_code == 403


@pytest.mark.django_db(transaction=True)
def test_two_owners_who_demote_each_other_at_once_leave_one(cast: Cast) -> None:
    Membership.objects.filter(farm=cast.farm).update(role="owner")
    together, statuses = Barrier(2, timeout=30), []

    def demote(by: Actor, other: Actor) -> None:
        by.phone.token()
        together.wait()
        answer = by.phone.patch(f"/api/farm/people/{other.person.id}", {"role": "viewer"})
        statuses.append(answer.status_code)
        connection.close()

    Membership.objects.filter(person=cast.viewer.person).delete()
    pairs = [(cast.owner, cast.picker), (cast.picker, cast.owner)]
    threads = [Thread(target=demote, args=pair) for pair in pairs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(statuses) == [200, 403]
    assert Membership.objects.filter(farm=cast.farm, role="owner").count() == 1


def test_a_removed_member_cannot_sign_in_to_the_farm_again(cast: Cast) -> None:
    cast.owner.phone.delete(f"/api/farm/people/{cast.picker.person.id}")
    assert Browser().post("/api/session", cast.picker.sign_in).json()["code"] == "no_farm"


def test_a_member_removed_from_one_farm_keeps_the_other(cast: Cast) -> None:
    Membership.objects.create(farm=cast.stranger.farm, person=cast.picker.person, role="picker")
    elsewhere = Actor(cast.picker.person, cast.stranger.farm, "picker")
    elsewhere.phone.get("/api/session")
    cast.owner.phone.delete(f"/api/farm/people/{cast.picker.person.id}")
    assert elsewhere.phone.get("/api/farm").status_code == 200


def test_a_revoked_phone_leaves_the_persons_other_phone_alone(cast: Cast) -> None:
    cast.picker.phone.get("/api/session")
    cast.pickers_second.phone.get("/api/session")
    cast.owner.phone.delete(f"/api/farm/phones/{cast.picker.device}")
    assert cast.picker.phone.get("/api/farm").status_code == 401
    assert cast.pickers_second.phone.get("/api/farm").status_code == 200


def test_a_picker_signs_their_own_lost_phone_out(cast: Cast) -> None:
    cast.pickers_second.phone.get("/api/session")
    assert cast.picker.phone.delete(f"/api/farm/phones/{cast.pickers_second.device}").status_code == 204
    assert cast.pickers_second.phone.get("/api/farm").status_code == 401


def test_a_revoked_phone_is_not_listed(cast: Cast) -> None:
    cast.picker.phone.get("/api/session")
    cast.owner.phone.delete(f"/api/farm/phones/{cast.picker.device}")
    phones = cast.owner.phone.get("/api/farm").json()["phones"]
    assert [row["device"] for row in phones] == [str(cast.owner.device)]


def test_a_revoked_phone_signs_in_again_with_the_password(cast: Cast) -> None:
    cast.picker.phone.get("/api/session")
    cast.owner.phone.delete(f"/api/farm/phones/{cast.picker.device}")
    assert cast.picker.phone.post("/api/session", cast.picker.sign_in).status_code == 200
    assert cast.picker.phone.get("/api/farm").status_code == 200


@pytest.mark.parametrize("path", ["/api/farm/people/", "/api/farm/phones/", "/api/farm/invitations/"])
@pytest.mark.parametrize("name", [str(ANY_ID), str(uuid4()).upper(), "1", "..", "%00"])
def test_ids_of_nothing_and_names_that_are_no_ids_are_absent(path: str, name: str, cast: Cast) -> None:
    answer = cast.owner.phone.delete(path + name)
    assert (answer.status_code, answer.json()["code"]) == (404, "absent")


class TestWhoWasAnOwnerWhenTheRequestCameIn:
    """And is none by the time it is done: another owner was faster."""

    @pytest.fixture
    def tom(self, cast: Cast) -> Member:
        tom = new_actor("Tom", cast.farm, "owner")
        let_in = tom.member
        actions.change_role(by=cast.owner.member, person_id=tom.person.id, role="viewer")
        return let_in

    def test_invites_nobody(self, tom: Member) -> None:
        with pytest.raises(Refused, match="not_allowed"):
            actions.invite(by=tom, role="owner")

    def test_makes_nobody_a_password_code(self, cast: Cast, tom: Member) -> None:
        with pytest.raises(Refused, match="not_allowed"):
            passwords.make_password_code(by=tom, person_id=cast.picker.person.id)
