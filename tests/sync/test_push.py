"""One operation, one effect, one answer."""

import copy
import itertools
from dataclasses import replace
from uuid import uuid4

import pytest

from harvestlog.accounts.models import Farm, Membership
from harvestlog.accounts.refusals import Refused
from harvestlog.blocks.models import Block, Place
from harvestlog.harvests.models import Pick
from harvestlog.sync.models import Change, Receipt
from tests.sync.farms import new_farm, new_member, phone_of, pick, place
from tests.sync.phone import EPOCH_START, Phone

pytestmark = pytest.mark.django_db


def sent(
    phone: Phone, verb: str, kind: str, row: str, fields: dict[str, object] | None = None
) -> dict[str, object]:
    """Makes one change, sends it and returns its answer."""
    op = phone.change(verb, kind, row, fields)
    return next(result for result in phone.push() if result["id"] == op)


def test_an_added_pick_is_kept_as_it_was_typed(phone: Phone, farm: Farm) -> None:
    row = str(uuid4())
    assert (
        sent(phone, "add", "pick", row, pick(str(uuid4()), wet_g=949.709, typed="2 lb 1 1/2 oz"))["status"]
        == "applied"
    )
    kept = Pick.objects.get(farm=farm, uuid=row)
    assert (kept.wet_g, kept.typed) == (949.709, "2 lb 1 1/2 oz")


def test_the_same_operation_sent_five_times_changes_nothing_more(phone: Phone, farm: Farm) -> None:
    phone.change("add", "place", str(uuid4()), place())
    phone.push(copies=5)
    assert Place.objects.filter(farm=farm).count() == 1
    assert Farm.objects.get(pk=farm.pk).seq == 1


def test_an_answer_that_was_lost_is_given_again(phone: Phone) -> None:
    phone.change("add", "place", str(uuid4()), place())
    phone.push(answer_lost=True)
    again = phone.push()
    assert [(result["status"], result["seq"]) for result in again] == [("applied", 1)]


def test_the_same_id_with_another_body_is_refused(phone: Phone, farm: Farm) -> None:
    phone.change("add", "place", str(uuid4()), place("Tent"))
    phone.push(answer_lost=True)
    phone.outbox[0]["fields"]["name"] = "Cellar"
    assert phone.push()[0]["code"] == "id_reused"
    assert Place.objects.get(farm=farm).name == "Tent"


def test_an_operation_sent_again_to_heal_a_restored_server_is_recognised(phone: Phone) -> None:
    """A phone then sends it with base 0: what it had seen belongs to a history that is gone."""
    row = str(uuid4())
    sent(phone, "add", "place", row, place())
    phone.pull()
    phone.change("patch", "place", row, {"note": "damp"})
    phone.push(answer_lost=True)
    phone.outbox[-1]["base"] = 0
    again = phone.push()[0]
    assert (again["status"], again["seq"]) == ("applied", 2)


def test_the_same_ids_from_two_farms_are_both_kept(phone: Phone) -> None:
    stranger = phone_of(new_member(new_farm("Elsewhere")))
    row = str(uuid4())
    phone.change("add", "place", row, place("Tent"))
    stranger.outbox = copy.deepcopy(phone.outbox)
    assert phone.push()[0]["status"] == stranger.push()[0]["status"] == "applied"
    assert Place.objects.filter(uuid=row).count() == 2


def test_a_wrong_epoch_applies_nothing_and_says_the_right_one(phone: Phone, farm: Farm) -> None:
    phone.change("add", "place", str(uuid4()), place())
    phone.epoch = str(uuid4())
    answer = phone.post(
        "/api/sync/push",
        {"epoch": phone.epoch, "device": phone.device, "app_version": "", "ops": phone.outbox},
    )
    assert (answer["reset"], answer["results"], answer["epoch"]) == (True, [], str(farm.epoch))
    assert not Receipt.objects.filter(farm=farm).exists()


@pytest.mark.parametrize(
    ("fields", "field", "says"),
    [
        ({"wet_g": -5}, "wet_g", "-5"),
        ({"wet_g": 0}, "wet_g", "0"),
        ({"wet_g": 1e9}, "wet_g", "1000000000"),
        ({"wet_g": "340"}, "wet_g", "340"),
        ({"wet_g": True}, "wet_g", "True"),
        ({"flush": 0}, "flush", "0"),
        ({"flush": 1.5}, "flush", "1.5"),
        ({"at": "yesterday"}, "at", "yesterday"),
        ({"at": "0001-01-01T00:00:00+14:00"}, "at", ""),
        ({"at": "2026-05-03T07:40:00"}, "at", "2026-05-03T07:40:00"),
        ({"handling": "washed"}, "handling", "washed"),
        ({"note": "a\0b"}, "note", "\\x00"),
        ({"note": "x" * 2001}, "note", "2000"),
        ({"block": "all of them"}, "block", "all of them"),
        ({"dry_g": 400}, None, "340"),
        ({"typed": "1 lb"}, None, "453.592"),
        ({"colour": "blue"}, None, "colour"),
    ],
)
def test_an_impossible_pick_is_refused_with_its_field_and_value(
    phone: Phone, farm: Farm, fields: dict[str, object], field: str | None, says: str
) -> None:
    answer = sent(phone, "add", "pick", str(uuid4()), pick(str(uuid4())) | fields)
    assert (answer["status"], answer["field"]) == ("rejected", field)
    assert says in str(answer["message"])
    assert not Pick.objects.filter(farm=farm).exists()


def test_a_refusal_takes_no_number(phone: Phone, farm: Farm) -> None:
    sent(phone, "add", "place", str(uuid4()), place("  "))
    assert sent(phone, "add", "place", str(uuid4()), place())["seq"] == 1


def test_a_refusal_is_remembered_like_any_answer(phone: Phone, farm: Farm) -> None:
    phone.change("add", "place", str(uuid4()), place(""))
    phone.push(copies=3)
    assert Receipt.objects.get(farm=farm).status == "rejected"


def test_a_kind_this_server_does_not_know_is_refused_in_words(phone: Phone) -> None:
    answer = sent(phone, "add", "weather", str(uuid4()), {"rain": True})
    assert (answer["code"], "weather" in str(answer["message"])) == ("unknown_kind", True)


def test_what_has_not_arrived_yet_is_tried_again_and_stops_the_batch(phone: Phone, farm: Farm) -> None:
    phone.change("add", "place", str(uuid4()), place("Tent"))
    phone.change("patch", "place", str(uuid4()), {"note": "damp"})
    phone.change("add", "place", str(uuid4()), place("Cellar"))
    assert [result["status"] for result in phone.push()] == ["applied", "retry"]
    assert [row.name for row in Place.objects.filter(farm=farm)] == ["Tent"]


def test_an_id_belongs_to_one_record_only(phone: Phone) -> None:
    row = str(uuid4())
    sent(phone, "add", "place", row, place())
    assert sent(phone, "add", "supplier", row, {"name": "Three Larches"})["code"] == "row_exists"
    assert sent(phone, "patch", "supplier", row, {"name": "Three Larches"})["code"] == "wrong_kind"


def test_a_patch_may_not_make_the_whole_record_impossible(phone: Phone) -> None:
    row = str(uuid4())
    sent(phone, "add", "pick", row, pick(str(uuid4())))
    answer = sent(phone, "patch", "pick", row, {"dry_g": 341.0})
    assert (answer["status"], "341" in str(answer["message"])) == ("rejected", True)


def test_a_patch_leaves_other_fields_alone(phone: Phone, farm: Farm) -> None:
    row = str(uuid4())
    sent(phone, "add", "place", row, place("Tent", note="damp"))
    sent(phone, "patch", "place", row, {"name": "Big tent"})
    kept = Place.objects.get(farm=farm)
    assert (kept.name, kept.note) == ("Big tent", "damp")


def test_of_two_concurrent_values_the_lost_one_is_told_and_kept(
    phone: Phone, second: Phone, farm: Farm
) -> None:
    row = str(uuid4())
    sent(phone, "add", "place", row, place())
    phone.pull()
    second.pull()
    late, early = second.change("patch", "place", row, {"note": "evening"}), None
    second.outbox[-1]["at"] = "2026-05-01T20:00:00+00:00"
    early = phone.change("patch", "place", row, {"note": "morning"})
    second.push()
    answer = phone.push()[0]
    assert (answer["id"], answer["status"], answer["lost_fields"]) == (early, "applied", ["note"])
    assert Place.objects.get(farm=farm).note == "evening"
    assert Change.objects.get(farm=farm, op=early).lost == {"note": "morning"}
    assert Change.objects.get(farm=farm, op=late).before == {"note": ""}


def test_two_people_on_one_phone_are_two_hands(farm: Farm) -> None:
    """They share a device, but what one wrote the other has not seen."""
    first, other = new_member(farm), new_member(farm)
    one, two = phone_of(first), phone_of(replace(other, device=first.device))
    row = str(uuid4())
    sent(one, "add", "place", row, place())
    one.pull()
    two.pull()
    one.change("patch", "place", row, {"note": "morning"}, at=EPOCH_START)
    two.change("patch", "place", row, {"note": "evening"}, at=EPOCH_START.replace(hour=20))
    two.push()
    assert one.push()[0]["lost_fields"] == ["note"]


@pytest.mark.parametrize("hour", [6, 20])
def test_a_value_that_loses_must_be_as_sound_as_one_that_stands(
    phone: Phone, second: Phone, hour: int
) -> None:
    row = str(uuid4())
    sent(phone, "add", "place", row, place())
    phone.pull()
    second.pull()
    second.change("patch", "place", row, {"note": "noon"}, at=EPOCH_START.replace(hour=12))
    second.push()
    phone.change("patch", "place", row, {"note": "a\0b"}, at=EPOCH_START.replace(hour=hour))
    assert phone.push()[0]["status"] == "rejected"


@pytest.mark.parametrize("first", [0, 1])
def test_of_two_dry_bases_one_stands_whole(phone: Phone, second: Phone, farm: Farm, first: int) -> None:
    """Fields that mean something only together are never mixed from two phones, whoever is heard first."""
    row = str(uuid4())
    sent(phone, "add", "block", row, {"label": "22222", "variety": str(uuid4()), "wet_g": 3000})
    phone.pull()
    second.pull()
    none = {
        "dry_g": None,
        "moisture_pct": None,
        "moisture_low_pct": None,
        "moisture_high_pct": None,
        "wet_g": 3000,
    }
    stated = none | {"dry_basis": "stated", "dry_g": 1100}
    assumed = none | {"dry_basis": "assumed", "moisture_low_pct": 60, "moisture_high_pct": 65}
    phone.change("patch", "block", row, stated, at=EPOCH_START.replace(hour=6))
    second.change("patch", "block", row, assumed, at=EPOCH_START.replace(hour=7))
    for hand in (phone, second)[:: -1 if first else 1]:
        assert hand.push()[0]["status"] == "applied"
    kept = Block.objects.get(farm=farm)
    assert (kept.dry_basis, kept.dry_g, kept.moisture_low_pct) == ("assumed", None, 60)


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_healing_a_restored_server_ends_alike_in_either_order(farm: Farm, order: tuple[int, int]) -> None:
    """One phone deleted, the other saw it and brought the record back; both send it again with base 0."""
    hands = [phone_of(new_member(farm)) for _ in range(2)]
    row = str(uuid4())
    sent(hands[0], "add", "place", row, place())
    hands[0].change("delete", "place", row, at=EPOCH_START.replace(hour=6))
    hands[1].change("restore", "place", row, at=EPOCH_START.replace(hour=7))
    for which in order:
        assert hands[which].push()[0]["status"] == "applied"
    assert not Place.objects.get(farm=farm).deleted


def test_a_deleted_record_stays_deleted_when_it_is_changed(phone: Phone, second: Phone, farm: Farm) -> None:
    row = str(uuid4())
    sent(phone, "add", "place", row, place())
    second.pull()
    sent(phone, "delete", "place", row)
    assert sent(second, "patch", "place", row, {"note": "damp"})["status"] == "applied"
    kept = Place.objects.get(farm=farm)
    assert (kept.deleted, kept.note) == (True, "damp")


def test_only_who_saw_the_deletion_can_undo_it(phone: Phone, second: Phone, farm: Farm) -> None:
    row = str(uuid4())
    sent(phone, "add", "place", row, place())
    second.pull()
    sent(phone, "delete", "place", row)
    assert sent(second, "restore", "place", row)["code"] == "deleted_since"
    second.pull()
    assert sent(second, "restore", "place", row)["status"] == "applied"
    assert not Place.objects.get(farm=farm).deleted


def test_a_phone_can_undo_its_own_deletion_before_it_was_sent(phone: Phone, farm: Farm) -> None:
    row = str(uuid4())
    sent(phone, "add", "place", row, place())
    phone.change("delete", "place", row)
    phone.change("restore", "place", row)
    assert [result["status"] for result in phone.push()] == ["applied", "applied"]
    assert not Place.objects.get(farm=farm).deleted


@pytest.mark.parametrize(
    ("role", "kind", "allowed"),
    [
        ("picker", "pick", True),
        ("picker", "place", False),
        ("viewer", "pick", False),
        ("viewer", "place", False),
    ],
)
def test_a_role_writes_its_own_kinds_only(farm: Farm, role: str, kind: str, allowed: bool) -> None:
    hand = phone_of(new_member(farm, role))
    fields = pick(str(uuid4())) if kind == "pick" else place()
    answer = sent(hand, "add", kind, str(uuid4()), fields)
    assert answer["status"] == ("applied" if allowed else "rejected")
    assert allowed or "owner" in str(answer["message"])


def test_somebody_removed_while_the_request_waited_writes_nothing(farm: Farm) -> None:
    member = new_member(farm)
    hand = phone_of(member)
    hand.change("add", "place", str(uuid4()), place())
    Membership.objects.filter(person=member.person).delete()
    with pytest.raises(Refused, match="signed_out"):
        hand.push()
    assert not Place.objects.filter(farm=farm).exists()


def test_a_role_counts_as_it_is_when_the_batch_is_applied(farm: Farm) -> None:
    member = new_member(farm)
    hand = phone_of(member)
    hand.change("add", "place", str(uuid4()), place())
    Membership.objects.filter(person=member.person).update(role="viewer")
    assert hand.push()[0]["code"] == "not_allowed"


def test_operations_on_different_records_end_alike_in_every_order(db: None) -> None:
    """A pick may arrive before its block and the block before its delivery."""
    supplier, variety, delivery, block, harvested = (str(uuid4()) for _ in range(5))
    season = phone_of(new_member(new_farm()))
    season.change("add", "supplier", supplier, {"name": "Three Larches"})
    season.change("add", "variety", variety, {"name": "Grey oyster"})
    season.change("add", "delivery", delivery, {"supplier": supplier, "received": "2026-04-20", "count": 1})
    season.change("add", "block", block, {"label": "22222", "variety": variety, "delivery": delivery})
    season.change("add", "pick", harvested, pick(block))
    ends = set()
    for order in itertools.permutations(season.outbox):
        hand = phone_of(new_member(new_farm()))
        for op in order:
            hand.outbox = [copy.deepcopy(op)]
            assert hand.push()[0]["status"] == "applied"
        hand.pull()
        ends.add(str({id: row["fields"] for id, row in sorted(hand.confirmed.items())}))
    assert len(ends) == 1
