"""The history of one record: who changed what, what did not stand, and who may read it."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from harvestlog.accounts.models import Farm, Membership
from harvestlog.accounts.models import Phone as SignedInPhone
from harvestlog.harvests.models import Pick
from harvestlog.sync.models import Change, Receipt
from tests.cast import Actor, Cast, Clock
from tests.sync.farms import phone_of, pick, place
from tests.sync.phone import EPOCH_START, Phone

BLOCK, PICK = str(uuid4()), str(uuid4())
MINUTE = timedelta(minutes=1)


def mass(grams: float) -> dict[str, Any]:
    return {"wet_g": grams, "typed": f"{grams:g} g"}


@pytest.fixture
def owner(cast: Cast) -> Phone:
    return phone_of(cast.owner.member)


@pytest.fixture
def picker(cast: Cast) -> Phone:
    return phone_of(cast.picker.member)


def told(actor: Actor, kind: str = "pick", row: str = PICK, **query: Any) -> list[dict[str, Any]]:
    answer = actor.phone.get(f"/api/sync/history/{kind}/{row}", query)
    assert answer.status_code == 200, answer.content
    return list(answer.json()["changes"])


def status(actor: Actor, kind: str = "pick", row: str = PICK) -> int:
    return actor.phone.get(f"/api/sync/history/{kind}/{row}").status_code


def weighed_twice_without_signal(owner: Phone, picker: Phone) -> None:
    """The owner weighed later, and her phone was the first to find a signal."""
    owner.change("add", "pick", PICK, pick(BLOCK, **mass(500)))
    owner.sync()
    picker.sync()
    picker.change("patch", "pick", PICK, mass(430), at=EPOCH_START + MINUTE)
    owner.change("patch", "pick", PICK, mass(340), at=EPOCH_START + 2 * MINUTE)
    owner.sync()
    picker.sync()


@pytest.mark.usefixtures("db")
class TestTwoPhonesWroteOneField:
    def test_all_three_values_are_in_the_history_newest_first(
        self, cast: Cast, owner: Phone, picker: Phone
    ) -> None:
        weighed_twice_without_signal(owner, picker)
        lost, won, made = told(cast.viewer)
        assert (lost["lost"], lost["after"]) == (mass(430), mass(340))
        assert (won["before"], won["after"], won["lost"]) == (mass(500), mass(340), {})
        assert (made["verb"], made["before"], made["after"]["wet_g"]) == ("add", {}, 500)

    def test_each_change_says_who_made_it_on_which_phone_and_when(
        self, cast: Cast, owner: Phone, picker: Phone
    ) -> None:
        weighed_twice_without_signal(owner, picker)
        lost, won, _ = told(cast.owner)
        assert (lost["by"], lost["phone"]) == ({"name": "Pia", "you": False}, "Pia's phone")
        assert (won["by"], won["phone"]) == ({"name": "Olga", "you": True}, "Olga's phone")
        assert lost["at"] == "2026-05-01T00:01:00Z"

    def test_who_is_no_owner_is_told_the_name_of_no_phone_but_their_own(
        self, cast: Cast, owner: Phone, picker: Phone
    ) -> None:
        weighed_twice_without_signal(owner, picker)
        assert [change["phone"] for change in told(cast.picker)] == ["Pia's phone", "", ""]
        assert {change["phone"] for change in told(cast.viewer)} == {""}

    def test_the_farms_order_is_told_beside_the_phones_own_times(
        self, cast: Cast, owner: Phone, picker: Phone, clock: Clock
    ) -> None:
        weighed_twice_without_signal(owner, picker)
        changes = told(cast.viewer)
        assert [change["seq"] for change in changes] == [3, 2, 1]
        assert changes[0]["at"] < changes[1]["at"] < changes[0]["received"]

    def test_whoever_asks_is_told_which_changes_are_their_own(
        self, cast: Cast, owner: Phone, picker: Phone
    ) -> None:
        weighed_twice_without_signal(owner, picker)
        assert [change["by"]["you"] for change in told(cast.picker)] == [True, False, False]


class TestAValueThatCameFirstAndWasReplaced:
    """The phone that wrote first also sent first: its change was taken, and then the other's, which is the later one."""

    def replaced(self, owner: Phone, picker: Phone, *, seen: bool, clock: Clock, grams: float = 340) -> None:
        owner.change("add", "pick", PICK, pick(BLOCK, **mass(500)), at=clock.moment)
        owner.sync()
        picker.sync()
        picker.change("patch", "pick", PICK, mass(430), at=clock.moment)
        if not seen:
            owner.change("patch", "pick", PICK, mass(grams), at=clock.moment + MINUTE)
        clock.forward(2 * MINUTE)
        picker.sync()
        if seen:
            owner.sync()
            owner.change("patch", "pick", PICK, mass(grams), at=clock.moment + MINUTE)
        clock.forward(2 * MINUTE)
        owner.sync()

    def test_is_told_as_unseen_by_whoever_took_its_place(
        self, cast: Cast, owner: Phone, picker: Phone, clock: Clock
    ) -> None:
        self.replaced(owner, picker, seen=False, clock=clock)
        won, first, _ = told(cast.picker)
        assert (won["before"], won["after"], won["lost"]) == (mass(430), mass(340), {})
        assert (sorted(won["unseen"]), first["unseen"]) == (["typed", "wet_g"], [])

    def test_is_no_conflict_when_the_other_person_had_seen_it(
        self, cast: Cast, owner: Phone, picker: Phone, clock: Clock
    ) -> None:
        self.replaced(owner, picker, seen=True, clock=clock)
        assert [change["unseen"] for change in told(cast.picker)] == [[], [], []]

    def test_is_told_to_its_writer_with_the_next_pull(
        self, owner: Phone, picker: Phone, clock: Clock
    ) -> None:
        self.replaced(owner, picker, seen=False, clock=clock)
        picker.pull()
        (told,) = picker.outvoted
        assert (told["row"], told["kind"], told["fields"]) == (PICK, "pick", mass(430))

    def test_is_told_once_and_to_nobody_else(self, owner: Phone, picker: Phone, clock: Clock) -> None:
        self.replaced(owner, picker, seen=False, clock=clock)
        for phone in (picker, picker, owner):
            phone.pull()
        assert (len(picker.outvoted), owner.outvoted) == (1, [])

    def test_is_told_also_when_it_had_arrived_before_the_other_was_written_and_was_not_fetched(
        self, owner: Phone, picker: Phone, clock: Clock
    ) -> None:
        owner.change("add", "pick", PICK, pick(BLOCK, **mass(500)), at=clock.moment)
        owner.sync()
        picker.sync()
        picker.change("patch", "pick", PICK, mass(430), at=clock.moment)
        picker.sync()
        clock.forward(MINUTE)
        owner.change("patch", "pick", PICK, mass(340), at=clock.moment)
        owner.sync()
        picker.pull()
        assert [told["fields"] for told in picker.outvoted] == [mass(430)]

    def test_is_nothing_to_tell_once_its_writer_has_written_it_again(
        self, owner: Phone, picker: Phone, clock: Clock
    ) -> None:
        self.replaced(owner, picker, seen=False, clock=clock)
        picker.change("patch", "pick", PICK, mass(435), at=clock.moment)
        picker.sync()
        assert (picker.outvoted, picker.confirmed[PICK]["fields"]["wet_g"]) == ([], 435)

    def test_is_nothing_to_tell_when_both_wrote_the_same(
        self, owner: Phone, picker: Phone, clock: Clock
    ) -> None:
        self.replaced(owner, picker, seen=False, grams=430, clock=clock)
        picker.pull()
        assert picker.outvoted == []

    def test_is_not_guessed_at_when_a_restored_server_is_healed(
        self, cast: Cast, owner: Phone, picker: Phone, clock: Clock
    ) -> None:
        self.replaced(owner, picker, seen=True, clock=clock)
        farm = cast.farm
        for model in (Pick, Change, Receipt):
            model.objects.filter(farm=farm).delete()
        Farm.objects.filter(pk=farm.pk).update(seq=0, epoch=uuid4())
        for phone in (picker, owner, picker):
            phone.sync()
        assert (picker.outvoted, picker.confirmed[PICK]["fields"]["wet_g"]) == ([], 340)

    def test_is_no_conflict_when_one_phone_wrote_both(self, cast: Cast, owner: Phone, clock: Clock) -> None:
        owner.change("add", "pick", PICK, pick(BLOCK), at=clock.moment)
        owner.change("patch", "pick", PICK, mass(340), at=clock.moment)
        clock.forward(MINUTE)
        owner.sync()
        assert [change["unseen"] for change in told(cast.owner)] == [[], []]


def test_a_deletion_is_in_the_history_of_the_deleted_record_with_who_did_it(
    cast: Cast, owner: Phone, picker: Phone
) -> None:
    owner.change("add", "pick", PICK, pick(BLOCK))
    owner.sync()
    picker.sync()
    picker.change("delete", "pick", PICK)
    picker.sync()
    deleted, _ = told(cast.viewer)
    assert (deleted["verb"], deleted["by"]["name"], deleted["after"]) == ("delete", "Pia", {})


def test_the_name_stays_when_the_person_has_left_the_farm(cast: Cast, owner: Phone, picker: Phone) -> None:
    picker.change("add", "pick", PICK, pick(BLOCK))
    picker.sync()
    Membership.objects.filter(person=cast.picker.person).delete()
    SignedInPhone.objects.filter(person=cast.picker.person).delete()
    assert (told(cast.owner)[0]["by"], told(cast.owner)[0]["phone"]) == ({"name": "Pia", "you": False}, "")


def test_a_change_outlives_the_account_of_the_person_who_made_it(
    cast: Cast, owner: Phone, picker: Phone
) -> None:
    picker.change("add", "pick", PICK, pick(BLOCK))
    picker.sync()
    cast.picker.person.delete()
    assert told(cast.owner)[0]["by"] is None


class TestWhoMayRead:
    @pytest.mark.parametrize("who", ["owner", "picker", "viewer"])
    def test_every_member_of_the_farm(self, cast: Cast, owner: Phone, who: str) -> None:
        owner.change("add", "pick", PICK, pick(BLOCK))
        owner.sync()
        assert status(getattr(cast, who)) == 200

    def test_another_farms_record_is_not_there(self, cast: Cast, owner: Phone) -> None:
        owner.change("add", "pick", PICK, pick(BLOCK))
        owner.sync()
        theirs = cast.stranger.phone.get(f"/api/sync/history/pick/{PICK}")
        nobodys = cast.stranger.phone.get(f"/api/sync/history/pick/{uuid4()}")
        assert (theirs.status_code, theirs.content) == (404, nobodys.content)

    def test_the_same_id_in_two_farms_is_two_records(self, cast: Cast, owner: Phone) -> None:
        stranger = phone_of(cast.stranger.member)
        for phone, name in ((owner, "North shed"), (stranger, "Cellar")):
            phone.change("add", "place", PICK, place(name))
            phone.sync()
        assert [change["after"]["name"] for change in told(cast.owner, "place")] == ["North shed"]

    @pytest.mark.parametrize(("kind", "row"), [("place", PICK), ("spores", PICK), ("pick", str(uuid4()))])
    def test_what_is_no_record_is_absent(self, cast: Cast, owner: Phone, kind: str, row: str) -> None:
        owner.change("add", "pick", PICK, pick(BLOCK))
        owner.sync()
        assert status(cast.owner, kind, row) == 404

    def test_nobody_who_is_signed_out(self, visitor: Any) -> None:
        assert visitor.get(f"/api/sync/history/pick/{PICK}").status_code == 401


class TestALongHistory:
    @pytest.fixture(autouse=True)
    def _five_changes(self, owner: Phone) -> None:
        owner.change("add", "pick", PICK, pick(BLOCK))
        for grams in (410, 420, 430, 440):
            owner.change("patch", "pick", PICK, mass(grams))
        owner.sync()

    def test_comes_in_pages_that_leave_nothing_out(self, cast: Cast) -> None:
        pages = []
        before: dict[str, int] = {}
        for _ in range(3):
            answer = cast.owner.phone.get(f"/api/sync/history/pick/{PICK}", {"limit": 2} | before).json()
            pages.append(([change["seq"] for change in answer["changes"]], answer["more"]))
            before = {"before": answer["changes"][-1]["seq"]}
        assert pages == [([5, 4], True), ([3, 2], True), ([1], False)]

    def test_ends_with_an_empty_page_and_not_with_an_absence(self, cast: Cast) -> None:
        assert told(cast.owner, before=1) == []

    @pytest.mark.parametrize("query", [{"limit": 0}, {"limit": 201}, {"before": 0}, {"before": "x"}])
    def test_is_not_asked_for_in_other_numbers(self, cast: Cast, query: dict[str, Any]) -> None:
        assert cast.owner.phone.get(f"/api/sync/history/pick/{PICK}", query).status_code == 422

    def test_is_read_in_two_queries_however_many_people_wrote(
        self, cast: Cast, picker: Phone, django_assert_num_queries: Any
    ) -> None:
        picker.sync()
        picker.change("patch", "pick", PICK, mass(450))
        picker.sync()
        cast.owner.phone.get(f"/api/sync/history/pick/{PICK}")
        with django_assert_num_queries(
            4
        ):  # the session, its phone and person, the changes, what they replaced
            assert len(told(cast.owner)) == 6
