"""An older database in place of the newer one is noticed by what phones have seen, and every phone then heals it."""

import importlib
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.apps import apps

from harvestlog.accounts.models import Deed, Farm
from harvestlog.blocks.models import Place
from harvestlog.sync.chain import extended
from harvestlog.sync.models import Change, Receipt
from tests.sync.farms import new_farm, new_member, phone_of, place
from tests.sync.phone import Phone

pytestmark = pytest.mark.django_db


@dataclass
class OlderFile:
    """The farm's rows as they are now; `put_back` lays them under the server again, as a swap of the file does."""

    farm: Farm
    kept: dict[Any, list[Any]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.seq, self.epoch = Farm.objects.values_list("seq", "epoch").get(pk=self.farm.pk)
        self.kept = {model: list(model.objects.filter(farm=self.farm)) for model in (Place, Change, Receipt)}

    def put_back(self) -> None:
        Farm.objects.filter(pk=self.farm.pk).update(seq=self.seq, epoch=self.epoch)
        for model, rows in self.kept.items():
            model.objects.filter(farm=self.farm).delete()
            model.objects.bulk_create(rows)


def add(phone: Phone, name: str) -> str:
    row = str(uuid4())
    phone.change("add", "place", row, place(name))
    phone.sync()
    return row


def names(farm: Farm) -> set[str]:
    return set(Place.objects.filter(farm=farm, deleted=False).values_list("name", flat=True))


def overtaken(phone: Phone, second: Phone, farm: Farm) -> None:
    """`phone` sent one record after the copy; `second`, who had not read it, then fills the old file beyond that."""
    add(phone, "Tent")
    second.sync()
    old = OlderFile(farm)
    add(phone, "Cellar")
    old.put_back()
    for name in ("Loft", "Barn"):
        add(second, name)


def test_every_operation_extends_the_hash_of_the_history(phone: Phone, farm: Farm) -> None:
    for name in ("Tent", "Cellar"):
        add(phone, name)
    chain = ""
    for seq, op, kept in Change.objects.filter(farm=farm).order_by("seq").values_list("seq", "op", "chain"):
        chain = extended(chain, seq, op)
        assert kept == chain
    assert phone.seen == {"seen": 2, "chain": chain}


def test_farms_with_the_same_operations_in_another_order_have_other_hashes() -> None:
    first, second = (UUID(int=number) for number in (1, 2))
    assert extended(extended("", 1, first), 2, second) != extended(extended("", 1, second), 2, first)


def test_a_history_from_before_there_were_hashes_gets_the_same_ones(phone: Phone, farm: Farm) -> None:
    for name in ("Tent", "Cellar"):
        add(phone, name)
    add(phone_of(new_member(new_farm("Elsewhere"))), "Loft")
    before = list(Change.objects.order_by("pk").values_list("pk", "chain"))
    Change.objects.update(chain="")
    importlib.import_module("harvestlog.sync.migrations.0002_change_chain").chain_up(apps, None)
    assert list(Change.objects.order_by("pk").values_list("pk", "chain")) == before


def test_a_pull_from_a_file_that_others_have_filled_beyond_the_cursor_is_told_to_start_again(
    phone: Phone, second: Phone, farm: Farm
) -> None:
    overtaken(phone, second, farm)
    assert phone.cursor < Farm.objects.get(pk=farm.pk).seq
    page = phone.get("/api/sync/pull", {"epoch": phone.epoch, "since": phone.cursor, "limit": 9} | phone.seen)
    assert (page["reset"], page["rows"]) == (True, [])
    assert page["epoch"] not in (phone.epoch, str(farm.epoch))


def test_nothing_is_pushed_into_such_a_file(phone: Phone, second: Phone, farm: Farm) -> None:
    overtaken(phone, second, farm)
    op = phone.change("add", "place", str(uuid4()), place("Shed"))
    assert phone.push() == []
    assert not Receipt.objects.filter(farm=farm, op=op).exists()
    assert op in [waiting["id"] for waiting in phone.outbox]


def test_afterwards_everything_any_phone_had_is_on_the_server_and_on_both_phones(
    phone: Phone, second: Phone, farm: Farm
) -> None:
    overtaken(phone, second, farm)
    for hand in (phone, second, phone, second):
        hand.sync()
    assert names(farm) == {"Tent", "Cellar", "Loft", "Barn"}
    assert phone.canonical() == second.canonical()


def test_a_phone_that_was_answered_but_had_not_read_on_notices_too(
    phone: Phone, second: Phone, farm: Farm
) -> None:
    add(phone, "Tent")
    old = OlderFile(farm)
    phone.change("add", "place", str(uuid4()), place("Cellar"))
    phone.push()
    assert phone.cursor == 1
    old.put_back()
    add(second, "Loft")
    phone.sync()
    assert names(farm) == {"Tent", "Cellar", "Loft"}


def test_a_delete_that_the_older_file_does_not_know_is_done_again(
    phone: Phone, second: Phone, farm: Farm
) -> None:
    row = add(phone, "Tent")
    second.sync()
    old = OlderFile(farm)
    phone.change("delete", "place", row)
    phone.sync()
    old.put_back()
    for hand in (second, phone, second):
        hand.sync()
    assert second.confirmed[row]["deleted"]
    assert phone.canonical() == second.canonical()


def test_one_new_epoch_serves_all_phones(phone: Phone, second: Phone, farm: Farm) -> None:
    third = phone_of(new_member(farm))
    overtaken(phone, third, farm)
    second.epoch, second.seen = phone.epoch, phone.seen
    phone.sync()
    begun = Farm.objects.get(pk=farm.pk).epoch
    for hand in (second, third, phone):
        hand.sync()
    assert Farm.objects.get(pk=farm.pk).epoch == begun
    assert Deed.objects.filter(farm=farm, verb="history_replaced").count() == 1


def test_a_phone_that_knows_no_hashes_is_judged_by_its_cursor(phone: Phone, farm: Farm) -> None:
    add(phone, "Tent")
    ahead = phone.get("/api/sync/pull", {"epoch": phone.epoch, "since": 99, "limit": 9})
    assert (ahead["reset"], ahead["epoch"] != phone.epoch) == (True, True)
    within = phone.get("/api/sync/pull", {"epoch": ahead["epoch"], "since": 1, "limit": 9})
    assert not within["reset"]


def test_the_same_file_put_back_unchanged_resets_nobody(phone: Phone, second: Phone, farm: Farm) -> None:
    add(phone, "Tent")
    second.sync()
    OlderFile(farm).put_back()
    add(second, "Loft")
    phone.sync()
    assert phone.epoch == str(farm.epoch)
