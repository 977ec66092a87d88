"""A report that stays is of one moment, whatever arrives while its records are read."""

from datetime import UTC, datetime
from typing import Any
from uuid import UUID, uuid4

import pytest

from harvestlog.accounts.models import Farm, Membership
from harvestlog.reports.queries import told
from harvestlog.reports.supplier_report import actions
from harvestlog.reports.supplier_report.forms import ReportWanted
from tests.cast import Actor, new_person
from tests.reports.yard import Yard
from tests.sync.test_at_once import at_once

NOW = datetime(2026, 6, 30, tzinfo=UTC)


@pytest.mark.django_db(transaction=True)
def test_a_block_that_arrives_while_a_report_is_made_is_not_in_it(monkeypatch: pytest.MonkeyPatch) -> None:
    farm = Farm.objects.create(name="Alder Yard")
    owner = Actor(new_person("Ada"), farm, "owner")
    Membership.objects.create(farm=farm, person=owner.person, role="owner")
    yard = Yard(owner)
    supplier, variety = yard.supplier("Three Larches"), yard.variety()
    delivery = yard.delivery(supplier, count=2)
    yard.finished(delivery, variety, 500)
    yard.sent()

    def read_late(*asked: Any) -> Any:
        """Somebody sends a block after the deliveries were read."""
        yard.finished(delivery, variety, 700)
        at_once([yard.sent])
        return told(*asked)

    monkeypatch.setattr("harvestlog.reports.supplier_report.queries.told", read_late)
    wanted = ReportWanted(id=uuid4(), supplier=UUID(supplier))
    report, _ = actions.make_report(by=owner.member, wanted=wanted, now=NOW)
    assert report.blocks == 1
