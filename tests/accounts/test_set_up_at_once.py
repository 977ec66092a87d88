"""Setting up the first farm while demo farms are in use, and what else may go wrong beside the e-mail address."""

from threading import Event, Thread, Timer

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.models import F

from harvestlog.accounts import doors
from harvestlog.accounts.actions import console_setup_code
from harvestlog.accounts.deeds import note
from harvestlog.accounts.models import Deed, Farm, Person
from tests.accounts.test_join import form as join_form
from tests.accounts.test_join import invited
from tests.accounts.test_set_up import form
from tests.cast import Browser, Cast


@pytest.mark.django_db(transaction=True)
def test_the_first_farm_is_made_while_a_demo_visitor_is_sending() -> None:
    demo = Farm.objects.create(name="Demo farm", is_demo=True)
    visitor = Person.objects.create(name="Visitor")
    code, locked, go_on = console_setup_code(), Event(), Event()
    statuses: list[int] = []

    def send() -> None:
        with transaction.atomic():
            Farm.objects.filter(id=demo.id).update(seq=F("seq"))  # as a push locks it
            locked.set()
            go_on.wait(10)
            note("sent", farm_id=demo.id, by=visitor)
        connection.close()

    def set_up() -> None:
        browser = Browser()
        browser.token()
        Timer(1, go_on.set).start()  # when setting up has come as far as it can
        statuses.append(browser.post("/api/setup", form(code)).status_code)
        connection.close()

    threads = [Thread(target=send), Thread(target=set_up)]
    threads[0].start()
    assert locked.wait(10)
    threads[1].start()
    for thread in threads:
        thread.join()
    assert statuses == [200]
    assert list(Farm.objects.values_list("is_demo", flat=True)) == [False]
    assert not Deed.objects.filter(verb="sent").exists()


def _fails(*_: object, **__: object) -> None:
    raise IntegrityError("something else")


def test_setting_up_blames_no_e_mail_address_for_another_fault(
    visitor: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    code = console_setup_code()
    monkeypatch.setattr(doors, "note", _fails)
    with pytest.raises(IntegrityError, match="something else"):
        visitor.post("/api/setup", form(code))


def test_joining_blames_no_e_mail_address_for_another_fault(
    visitor: Browser, cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    code = invited(cast)
    monkeypatch.setattr(doors, "note", _fails)
    with pytest.raises(IntegrityError, match="something else"):
        visitor.post("/api/join", join_form(code))
    assert not Person.objects.filter(name="Noor").exists()


@pytest.mark.django_db(transaction=True)
def test_the_first_farm_stands_where_the_demo_farms_could_not_be_cleared(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    code = console_setup_code()
    monkeypatch.setattr(doors, "_clear_demo_farms", _fails)
    with pytest.raises(IntegrityError, match="something else"):
        Browser().post("/api/setup", form(code))
    assert list(Farm.objects.values_list("name", flat=True)) == ["Alder Yard"]


def test_an_e_mail_address_that_has_an_account_is_said_to_have_one(visitor: Browser) -> None:
    Person.objects.create(name="Olga", email="olga@example.org")
    answer = visitor.post("/api/setup", form(console_setup_code()))
    assert (answer.status_code, answer.json()["code"]) == (422, "invalid")
    assert answer.json()["errors"][0]["field"] == "email"
    assert not Farm.objects.exists()
