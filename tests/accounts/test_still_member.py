"""Asking once more, under a lock, whether the one who asked may still do it."""

from dataclasses import replace

from django.utils import timezone

from harvestlog.accounts.access import still_member
from harvestlog.accounts.models import Membership, Person, Phone
from tests.cast import Cast


def test_who_was_a_member_and_is_one_is_the_same_member(cast: Cast) -> None:
    assert still_member(cast.picker.member) == cast.picker.member


def test_a_new_role_counts_at_once(cast: Cast) -> None:
    member = cast.picker.member
    Membership.objects.filter(person=member.person).update(role="viewer")
    assert still_member(member) == replace(member, role="viewer")


def test_who_was_removed_from_the_farm_is_no_member(cast: Cast) -> None:
    member = cast.picker.member
    Membership.objects.filter(person=member.person).delete()
    assert still_member(member) is None


def test_belonging_to_another_farm_does_not_count(cast: Cast) -> None:
    member = cast.picker.member
    Membership.objects.filter(person=member.person).update(farm=cast.stranger.farm)
    assert still_member(member) is None


def test_a_revoked_phone_is_no_members(cast: Cast) -> None:
    member = cast.picker.member
    Phone.objects.filter(device=member.device).update(revoked=timezone.now())
    assert still_member(member) is None


def test_another_phone_of_the_same_person_is_not_touched_by_that(cast: Cast) -> None:
    first, second = cast.picker.member, cast.pickers_second.member
    Phone.objects.filter(device=first.device).update(revoked=timezone.now())
    assert still_member(second) == second


def test_who_was_switched_off_is_no_member(cast: Cast) -> None:
    member = cast.picker.member
    Person.objects.filter(id=member.person.id).update(is_active=False)
    assert still_member(member) is None


def test_a_member_of_a_farm_that_is_gone_is_no_member(cast: Cast) -> None:
    member = cast.picker.member
    cast.farm.delete()
    assert still_member(member) is None


def test_the_server_itself_is_let_in(cast: Cast) -> None:
    nobodys = replace(cast.owner.member, phone_id=None)
    assert still_member(nobodys) == nobodys


def test_it_is_asked_in_one_query(cast: Cast, django_assert_num_queries) -> None:
    member = cast.picker.member
    with django_assert_num_queries(1):
        still_member(member)
